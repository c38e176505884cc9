// Forms of entries, part 5: the page. The form of the kind in the address (add.html#fault) is shown, filled from the address or from
// what was typed here before, checked at every stroke, and given out as a file. What is typed stays on this machine.
(function (B) {
  "use strict";
  const add = (B.add ??= {});
  const places = Array.from(document.querySelectorAll("[data-add]"));
  if (!add.data || !add.formOf || !places.length) { return; }
  const { make } = add;
  const store = (kind) => `benchlore:add:${kind}`;
  const open = {};

  function kept(kind) {
    try { return JSON.parse(localStorage.getItem(store(kind))); } catch (refused) { return null; }
  }

  function keep(kind, data) {
    try { localStorage.setItem(store(kind), JSON.stringify(data)); } catch (refused) { /* then it lasts as long as the page does */ }
  }

  function forget(kind) {
    try { localStorage.removeItem(store(kind)); } catch (refused) { /* nothing was kept */ }
  }

  // What the address gives: ?title=...&family=...&symptoms=a,b
  function given(kind) {
    const asked = new URLSearchParams(location.search), found = {};
    for (const field of add.data.tables[add.data.forms[kind].record]) {
      const text = (asked.get(field.name) || "").slice(0, 4000);
      if (!text || ["part", "table"].includes(field.type.is) || (field.type.is === "many" && field.type.of.is === "part")) { continue; }
      found[field.name] = field.type.is === "many" ? text.split(",").map((word) => word.trim()).filter(Boolean) : text;
    }
    return found;
  }

  // checks[0].how_often as a reader says it: check 1, how often.
  const inWords = (path) => (path === "id" ? "file name" : path.split(".").map((part) => part.replace(/^(.*?)s?\[(\d+)\]$/, (_, name, n) => `${name} ${Number(n) + 1}`)).join(", ").replaceAll("_", " "));

  function today() {
    const now = new Date();
    return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
  }

  const fresh = (kind) => (kind === "finding" ? { date: today(), added: today() } : { added: today() });

  function start(place) {
    const kind = place.dataset.add, folder = add.data.forms[kind].folder;
    const form = add.formOf(kind);
    const name = add.leaf({ is: "code", longest: 60 }, { label: "File name", help: "Its id: small letters, digits and hyphens. Made from what you write, unless you say otherwise." }, true);
    const box = name.node.querySelector("input");
    const likes = make("div", { class: "likes", role: "status" });
    const list = make("ul", { class: "to-mend" }), left = make("div", { class: "left", hidden: "", tabindex: "-1" }, make("h3", {}, "To mend first"), list);
    const say = make("p", { class: "add-said", role: "status" });
    const code = make("code"), file = make("code"), where = make("p", { class: "add-where" }, "Put it on your shelf as ", file, ", then run ", make("code", {}, "benchlore audit"), ": it also does the sums, which this page leaves to it.");
    const get = make("button", { type: "button", class: "action action-first" }, "Download the file");
    const copy = make("button", { type: "button", class: "action" }, "Copy the text");
    const again = make("button", { type: "button", class: "action" }, "Start afresh");
    const node = make("form", { class: "add-form", novalidate: "" }, likes, make("div", { class: "form add-name" }, name.node), form.node, left,
      make("div", { class: "add-end" }, make("div", { class: "add-buttons" }, get, copy, again), say, where),
      make("details", { class: "add-file" }, make("summary", {}, "The file as it will be"), make("pre", { tabindex: "0", "aria-label": "The file as it will be" }, code)));
    let own = false, pressed = false, problems = [], asking = 0, telling = 0;

    const raw = () => form.read();
    const id = () => box.value.trim();

    function check() {
      const typed = raw();
      if (!own) { name.set(add.idFor(kind, typed)); }
      problems = add.check(kind, typed);
      const wrong = add.checkId(kind, id());
      if (wrong) { problems.unshift({ path: "id", message: wrong[0], hint: wrong[1], missing: !id() }); }
      name.show(problems, "id", pressed);
      form.show(problems, "", pressed);
      code.textContent = add.write(kind, typed);
      file.textContent = `${folder}/${id() || "ID"}.yaml`;
      tell();
      return typed;
    }

    function tell() {
      clearTimeout(telling);
      telling = setTimeout(() => {
        say.textContent = problems.length ? `${problems.length} ${problems.length === 1 ? "thing" : "things"} to fill in or mend.` : "Nothing to mend: it is ready.";
      }, 400);
      if (!pressed) { return; }
      list.replaceChildren(...problems.map((problem) => {
        const link = make("a", { href: `#${problem.input ? problem.input.id || kind : kind}` }, `${inWords(problem.path)}: ${problem.message}`);
        link.addEventListener("click", (event) => {
          event.preventDefault();
          if (problem.input) { problem.input.focus(); problem.input.scrollIntoView({ block: "center" }); }
        });
        return make("li", {}, link);
      }));
      left.hidden = !problems.length;
    }

    function press() {
      pressed = true;
      check();
      if (problems.length) { left.focus(); left.scrollIntoView({ block: "nearest" }); }
      return !problems.length;
    }

    async function like(title) {
      const mine = ++asking, found = await add.likes(kind, title);
      if (mine !== asking) { return; }
      likes.replaceChildren(...(found.length ? [make("p", {}, "Already in the book; look before you write another: ",
        ...found.flatMap((one, at) => [at ? ", " : "", make("a", { href: one.url }, one.title)]))] : []));
    }

    node.addEventListener("submit", (event) => event.preventDefault());
    node.addEventListener("input", (event) => {
      if (event.target === box) { own = box.value.trim() !== ""; }
      keep(kind, { raw: check(), id: own ? id() : "" });
      if (kind !== "finding" && event.target.id === titleId) { like(event.target.value); }
    });
    get.addEventListener("click", () => {
      if (!press()) { return; }
      const url = URL.createObjectURL(new Blob([add.write(kind, raw())], { type: "application/yaml" }));
      const link = make("a", { href: url, download: `${id()}.yaml` });
      link.click();
      setTimeout(() => URL.revokeObjectURL(url), 60000);
    });
    copy.addEventListener("click", async () => {
      if (!press()) { return; }
      try {
        await navigator.clipboard.writeText(add.write(kind, raw()));
        say.textContent = "Copied.";
      } catch (refused) {
        node.querySelector(".add-file").open = true;
        getSelection().selectAllChildren(code);
        say.textContent = "Marked below: press Ctrl-C.";
      }
    });
    again.addEventListener("click", () => {
      if (!confirm("Empty this form? What you typed here is then gone.")) { return; }
      forget(kind);
      own = pressed = false;
      left.hidden = true;
      form.set(fresh(kind));
      check();
    });

    function fill(typed, chosen) {
      form.set(typed);
      own = typeof chosen === "string" && chosen !== "";
      if (own) { name.set(chosen); }
    }

    // What the address gives begins a new entry; what was typed here before is then a button away.
    const saved = kept(kind), asked = given(kind), titleId = form.node.querySelector("input, textarea").id;
    const old = saved && typeof saved === "object" && saved.raw && typeof saved.raw === "object" ? saved : null;
    if (Object.keys(asked).length) {
      fill({ ...fresh(kind), ...asked });
      if (old) {
        const back = make("button", { type: "button", class: "action" }, "Bring back what you typed before");
        back.addEventListener("click", () => { fill(old.raw, old.id); back.remove(); check(); });
        likes.before(make("p", {}, back));
      }
      history.replaceState(history.state, "", `${location.pathname}${location.hash}`);
    } else { fill(old ? old.raw : fresh(kind), old ? old.id : ""); }
    place.append(node);
    check();
    if (kind !== "finding" && asked.title) { like(asked.title); }
    return node;
  }

  function show() {
    const wanted = location.hash.slice(1);
    for (const place of places) {
      const mine = place.dataset.add === wanted;
      place.hidden = !mine;
      if (mine) { open[wanted] ??= start(place); }
    }
    document.querySelectorAll("[data-add-choice]").forEach((link) => {
      if (link.dataset.addChoice === wanted) { link.setAttribute("aria-current", "true"); } else { link.removeAttribute("aria-current"); }
    });
  }

  addEventListener("hashchange", show);
  show();
})(globalThis.Benchlore ??= {});
