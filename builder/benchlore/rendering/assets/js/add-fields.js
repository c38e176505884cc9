// Forms of entries, part 3: a field table to controls. A control is {node, read(), set(raw), show(problems, path, all)}: what was typed
// as texts, lists and records; the same put back; and what is wrong shown where it is. All nodes are made from text.
(function (B) {
  "use strict";
  const add = (B.add ??= {});
  if (!add.data) { return; }
  const { tables, ids, lists, common } = add.data;
  let count = 0;

  function make(name, attributes, ...parts) {
    const node = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {})) { if (value !== null) { node.setAttribute(key, value); } }
    node.append(...parts);
    return node;
  }

  const single = (label) => (label.length > 3 && label.endsWith("s") && !label.endsWith("ss") ? label.slice(0, -1) : label);
  const sentence = (text) => (/[.?!]$/.test(text) ? text : `${text}.`);
  const lowered = (text) => text.charAt(0).toLowerCase() + text.slice(1);

  // ---- what there is to choose from: one list a kind, made when it is first needed

  function listOf(name) {
    const id = `known-${name}`;
    if (!document.getElementById(id)) {
      const options = Object.hasOwn(lists, name)
        ? lists[name].map((word) => make("option", { value: word }))
        : Object.entries(ids[name]).map(([value, title]) => make("option", { value, label: title }, title));
      document.body.append(make("datalist", { id }, ...options));
    }
    return id;
  }

  // ---- one value

  function limits(type) {
    if (type.is === "amount") { return `With its unit${type.range ? "; a range such as 290..310 V is allowed" : ""}${type.unknown ? "; or the word unknown" : ""}.`; }
    if (type.is === "whole") { return `A whole number, ${type.least} to ${type.most}.`; }
    if (type.is === "prose") { return "Paragraphs; an empty line begins a new one."; }
    if (type.is === "slug") { return "Small letters, digits and hyphens."; }
    if (type.is === "ref") { return "Type words of its name and choose."; }
    return "";
  }

  function select(words, attributes) {
    return make("select", attributes, make("option", { value: "" }, "choose"), ...words.map((word) => make("option", { value: word }, word)));
  }

  function entryField(type, list, attributes) {
    const bare = { ...attributes, autocomplete: "off" };
    if (type.is === "choice") { return select(type.words, attributes); }
    if (type.is === "flag") { return select(["yes", "no"], attributes); }
    if (type.is === "prose") { return make("textarea", { ...bare, rows: "4" }); }
    if (type.is === "text" && type.longest > 120) { return make("textarea", { ...bare, rows: "2" }); }
    if (type.is === "date") { return make("input", { ...bare, type: "date" }); }
    const known = type.is === "ref" ? listOf(type.kind) : list ? listOf(list) : null;
    const spelled = ["text"].includes(type.is) ? null : { autocapitalize: "off", spellcheck: "false" };
    const pad = { whole: "numeric", real: "decimal" }[type.is] ?? null;
    return make("input", { ...bare, ...spelled, type: "text", inputmode: pad, list: known });
  }

  // A title that was typed whole becomes its id.
  function idMeant(text, kind) {
    const folded = text.trim().toLowerCase();
    if (Object.hasOwn(ids[kind], folded)) { return folded; }
    const found = Object.entries(ids[kind]).find(([, title]) => title.toLowerCase() === folded);
    return found ? found[0] : text;
  }

  function leaf(type, words, needed) {
    const id = `add-${++count}`;
    const input = entryField(type, words.list, {
      id, "aria-describedby": `${id}-help ${id}-error`, "aria-label": words.said ?? null, "aria-required": needed ? "true" : null
    });
    const error = make("p", { class: "field-error", id: `${id}-error`, hidden: "" });
    const said = make("span", { class: "field-said" });
    const help = make("p", { class: "field-help", id: `${id}-help` }, words.help, type.is === "ref" ? said : "");
    const label = words.label ? make("label", { for: id }, words.label, ...(needed ? [" ", make("span", { class: "needed" }, "needed")] : [])) : "";
    const node = make("div", { class: `field${["prose", "text"].includes(type.is) && input.tagName === "TEXTAREA" ? " field-wide" : ""}` }, label, input, help, error);
    let touched = false;
    const name = () => {
      if (type.is !== "ref") { return; }
      const title = Object.hasOwn(ids[type.kind], input.value.trim()) ? ids[type.kind][input.value.trim()] : "";
      said.textContent = title ? ` ${title}` : "";
    };
    // Half a name of something known is on its way and not yet wrong.
    const onItsWay = () => type.is === "ref" && document.activeElement === input &&
      Object.entries(ids[type.kind]).some((pair) => pair.join(" ").toLowerCase().includes(input.value.trim().toLowerCase()));
    input.addEventListener("input", name);
    input.addEventListener("change", () => {
      touched = true;
      if (type.is === "ref") { input.value = idMeant(input.value, type.kind); name(); }
      input.dispatchEvent(new Event("input", { bubbles: true }));
    });
    return {
      node,
      read: () => input.value,
      set(raw) { input.value = typeof raw === "string" ? raw : ""; name(); },
      show(problems, path, all) {
        const problem = problems.find((one) => one.path === path && (all || ((touched || !one.missing) && !onItsWay())));
        error.hidden = !problem;
        error.textContent = problem ? sentence(`${problem.message}; ${problem.hint}`) : "";
        if (problem) { input.setAttribute("aria-invalid", "true"); } else { input.removeAttribute("aria-invalid"); }
        for (const one of problems) { if (one.path === path) { one.input = input; } }
      }
    };
  }

  // ---- records

  function controlOf(field) {
    const needed = field.need === "required";
    const example = ["choice", "flag", "date", "many", "part", "table"].includes(field.type.is) ? "" : field.example;
    const hints = [sentence(field.help), example && sentence(`For example: ${example}`), limits(field.type)];
    const words = { label: field.label, help: hints.filter(Boolean).join(" "), list: field.list };
    if (field.type.is === "many") { return rows(field.type, words, needed ? Math.max(1, field.type.least) : 0, field.type.most); }
    if (field.type.is === "table") { return table(field.type, words); }
    if (field.type.is === "part") { return needed ? group(field.type.record, words) : rows({ of: field.type }, words, 0, 1); }
    return leaf(field.type, words, needed);
  }

  function record(name) {
    const controls = tables[name].map((field) => [field, controlOf(field)]);
    const first = controls.filter(([field]) => field.need !== "optional").map(([, control]) => control.node);
    const optional = controls.filter(([field]) => field.need === "optional");
    const late = ([field]) => name !== "Source" && common.includes(field.name);  // what every entry may carry comes last
    const rest = [...optional.filter((one) => !late(one)), ...optional.filter(late)].map(([, control]) => control.node);
    const more = make("details", { class: "more" }, make("summary", {}, first.length ? "More, where it applies" : "Details"), make("div", { class: "form" }, ...rest));
    const node = make("div", { class: "form" }, ...first, ...(rest.length ? [more] : []));
    return {
      node,
      read: () => Object.fromEntries(controls.map(([field, control]) => [field.name, control.read()])),
      set(raw) {
        controls.forEach(([field, control]) => control.set((raw ?? {})[field.name]));
        more.open = optional.some((one) => !late(one) && add.written((raw ?? {})[one[0].name]));
      },
      show(problems, path, all) {
        controls.forEach(([field, control]) => control.show(problems, path ? `${path}.${field.name}` : field.name, all));
        if (all && problems.some((one) => one.input && more.contains(one.input))) { more.open = true; }
      }
    };
  }

  function group(name, words) {
    const inner = record(name);
    const node = make("fieldset", { class: "field-wide rows" }, make("legend", {}, words.label), make("p", { class: "field-help" }, words.help), inner.node);
    return { ...inner, node };
  }

  // ---- lists: items one below the other, each with a button to take it away

  function listOfItems(words, most, makeItem) {
    const items = [], list = make("ol", { class: "row-list" });
    const error = make("p", { class: "field-error", hidden: "", tabindex: "-1" });
    const one = single(words.label);
    const button = make("button", { type: "button", class: "action row-add" });
    const node = make("fieldset", { class: "field-wide rows" }, make("legend", {}, words.label), make("p", { class: "field-help" }, words.help), list, error, button);
    const changed = () => node.dispatchEvent(new Event("input", { bubbles: true }));
    function name() {
      button.textContent = items.length ? "Add another" : "Add one";
      button.setAttribute("aria-label", `${button.textContent}: ${lowered(one)}`);
      button.hidden = items.length >= most;
      items.forEach((item, at) => item.name(`${one}${most > 1 ? ` ${at + 1}` : ""}`));
    }
    function put(raw) {
      const item = makeItem();
      const away = make("button", { type: "button", class: "row-button" }, "−");
      const place = make("li", { class: item.simple ? "row-simple" : "row-item" }, item.node, away);
      item.name = ((inner) => (words_) => { inner(words_); away.setAttribute("aria-label", `Remove ${lowered(words_)}`); })(item.name);
      away.addEventListener("click", () => {
        items.splice(items.indexOf(item), 1);
        place.remove();
        name();
        changed();
        button.focus();
      });
      if (raw !== undefined) { item.set(raw); }
      items.push(item);
      list.append(place);
      name();
      return item;
    }
    button.addEventListener("click", () => {
      const item = put();
      item.node.querySelector("input, select, textarea, button").focus();
      changed();
    });
    const clear = () => { items.length = 0; list.replaceChildren(); };
    const complain = (problems, path, all) => {
      const problem = problems.find((p) => p.path === path && (all || (!p.missing && items.some((item) => add.written(item.read())))));
      error.hidden = !problem;
      error.textContent = problem ? sentence(`${problem.message}; ${problem.hint}`) : "";
      for (const p of problems) { if (p.path === path) { p.input = button.hidden ? error : button; } }
    };
    name();
    return { node, items, put, clear, name, complain };
  }

  function rows(type, words, start, most) {
    const simple = type.of.is !== "part";
    const made = listOfItems(words, most, () => {
      if (simple) {
        const control = leaf(type.of, { label: "", help: "", said: single(words.label), list: words.list }, false);
        return { ...control, simple, name: (said) => control.node.querySelector("input, select, textarea").setAttribute("aria-label", said) };
      }
      const inner = record(type.of.record), legend = make("legend");
      return { ...inner, node: make("fieldset", { class: "row-fields" }, legend, inner.node), name: (said) => { legend.textContent = said; } };
    });
    const one = most === 1 && !type.is;  // a record that may be left out
    const begin = () => { for (let n = 0; n < start; n++) { made.put(); } };
    begin();
    return {
      node: made.node,
      read: () => { const all = made.items.map((item) => item.read()); return one ? all[0] ?? {} : all; },
      set(raw) {
        made.clear();
        const all = (one ? [raw] : Array.isArray(raw) ? raw : []).filter(add.written);
        if (all.length) { all.forEach((item) => made.put(item)); } else { begin(); }
        made.name();
      },
      show(problems, path, all) {
        made.complain(problems, path, all);
        let at = 0;  // items in which nothing is written do not count
        made.items.forEach((item) => {
          const filled = add.written(item.read());
          item.show(filled ? problems : [], one ? path : `${path}[${at}]`, all);
          at += filled;
        });
      }
    };
  }

  // Short names and their values: pins and volts.
  function table(type, words) {
    const made = listOfItems(words, 200, () => {
      const key = make("input", { type: "text", class: "row-key", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
      const item = leaf(type.of, { label: "", help: "" }, false);
      return {
        simple: true, node: make("div", { class: "row-pair" }, key, item.node),
        name(said) { key.setAttribute("aria-label", `${said}: name`); item.node.querySelector("input").setAttribute("aria-label", `${said}: value`); },
        read: () => [key.value.trim(), item.read()], set(raw) { [key.value] = raw; item.set(raw[1]); }, show: (...told) => item.show(...told), key
      };
    });
    return {
      node: made.node,
      read: () => Object.fromEntries(made.items.map((item) => item.read()).filter(add.written)),
      set(raw) { made.clear(); Object.entries(raw ?? {}).forEach((pair) => made.put(pair)); made.name(); },
      show(problems, path, all) {
        made.complain(problems, path, all);
        made.items.forEach((item) => item.show(problems, `${path}.${item.key.value.trim()}`, all));
      }
    };
  }

  Object.assign(add, { make, formOf: (kind) => record(add.data.forms[kind].record), leaf });
})(globalThis.Benchlore ??= {});
