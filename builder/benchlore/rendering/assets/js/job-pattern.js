// Job sheet: what a supply chart or a set of idle currents points to, by direction and pattern. Pure; it reads no page.
(function (B) {
  "use strict";
  const J = (B.job ??= {});
  if (!J.bench) { return; }

  // Nodes as [{node, from, state}], state "low", "high", "right" or "" where not measured: sentences as {mark, words, sign}.
  function supply(nodes) {
    const read = nodes.filter(({ state }) => state !== "");
    if (!read.length) { return []; }
    const main = read.filter(({ volts }) => volts > 0);
    const states = new Set(main.map(({ state }) => state));
    if (main.length > 1 && states.size === 1 && !states.has("right")) { return [whole([...states][0]), ...negative(read)]; }
    const off = main.filter(({ state }) => state !== "right");
    const told = off.filter(({ from, state }) => stateOf(nodes, from) !== state).map((node) => single(node, nodes));
    return [...(told.length || main.length < nodes.filter(({ volts }) => volts > 0).length ? told : [{ mark: "good", words: "Every node lies within its spread at today’s mains." }]), ...negative(read)];
  }

  const stateOf = (nodes, name) => nodes.find(({ node }) => node === name)?.state ?? "";

  function whole(state) {
    return state === "low"
      ? { mark: "stop", sign: "plate-volts-low", words: "All low together: look at what they share. A worn rectifier, a dried reservoir, a wrong mains tap, or an output stage that draws too much and pulls everything down; read the idle next." }
      : { mark: "stop", sign: "plate-volts-high", words: "All high together: the output stage draws too little (tubes out, dead or biased cold), or the mains tap is set too low for this mains." };
  }

  // Everything fed from a node, near and far.
  function below(nodes, name) {
    const fed = nodes.filter(({ from }) => from === name);
    return fed.flatMap((one) => [one, ...below(nodes.filter((other) => other !== one), one.node)]);
  }

  function single(node, nodes) {
    const under = below(nodes, node.node).filter(({ state }) => state !== "");
    const follow = under.filter(({ state }) => state === node.state);
    const where = `Node ${node.node}${follow.length ? ` and all below it (${follow.map((one) => one.node).join(", ")})` : ""}`;
    if (under.length && follow.length === 0) {
      return { mark: "mind", words: `Node ${node.node} alone is ${node.state} while what it feeds is right: that cannot be. Take the reading again, and look at the probe’s place.` };
    }
    if (follow.length < under.length) {
      return { mark: "stop", sign: node.state === "low" ? "node-low" : "", words: `Node ${node.node} is ${node.state}, and only ${follow.map((one) => one.node).join(", ")} below it follows: two troubles, or a reading to take again.` };
    }
    if (node.state === "low") {
      return { mark: "stop", sign: "node-low", words: `${where} low, what is above is right: the trouble begins here. ${node.from ? "Its dropping resistor has risen or opened, its" : "Its"} capacitor leaks, or what it feeds draws too much.` };
    }
    return { mark: "stop", words: `${where} high, what is above is right: what it feeds draws too little. A dead or missing tube, an open cathode or plate resistor${node.from ? ", or a dropping resistor of too small a value" : ""}.` };
  }

  function negative(read) {
    return read.filter(({ volts, state }) => volts < 0 && state !== "right").map(({ node, state }) => (state === "low"
      ? { mark: "stop", words: `Bias node ${node} is too weak: the tubes run hot. Its diode, its capacitor, or a resistor of its divider. Switch off before a plate glows.` }
      : { mark: "mind", words: `Bias node ${node} is stronger than the chart: the tubes run cool; look at the divider’s resistor to ground, or at a trimmer that was turned.` }));
  }

  // Currents as [{at, current}] in amperes, with the family's own figure or null.
  function currents(tubes, usual) {
    const read = tubes.filter(({ current }) => current !== null);
    if (read.length < 2) { return []; }
    const mean = read.reduce((sum, { current }) => sum + current, 0) / read.length;
    const dead = read.filter(({ current }) => current < 0.15 * mean);
    if (dead.length && dead.length < read.length) {
      return [{ mark: "stop", sign: "one-tube-hot", words: `${names(dead)} draw${dead.length === 1 ? "s" : ""} next to nothing: heater dark, tube lost, cathode or screen resistor open, or its half of the output transformer. The others carry its share.` }];
    }
    const others = (one) => read.filter((other) => other !== one).reduce((sum, { current }) => sum + current, 0) / (read.length - 1);
    const off = read.filter((one) => Math.abs(one.current / others(one) - 1) > 0.25);
    if (off.length === 0) {
      if (usual && Math.abs(mean / usual - 1) > 0.25) {
        return [mean > usual ? { mark: "mind", words: "All tubes alike and all well above the family’s own figure: the bias supply is weak, or the mains is high." } : { mark: "mind", words: "All tubes alike and all well below the family’s own figure: tired tubes, a bias set cold, or low screen volts." }];
      }
      return [{ mark: "good", words: "The tubes share the work." }];
    }
    const hottest = off.reduce((a, b) => (b.current > a.current ? b : a));
    if (hottest.current > mean) {
      return [{ mark: "stop", sign: "one-tube-hot", words: `${hottest.at} draws more than its share: its grid has lost bias (grid leak open, coupling capacitor leaking), or the tube itself. Change places, off and cool: what moves with the glass is the tube, what stays is the socket.` }];
    }
    return [{ mark: "mind", sign: "one-tube-hot", words: `${names(off)} draw${off.length === 1 ? "s" : ""} less than the others: a tired tube, or its screen or cathode resistor has risen. Change places to tell.` }];
  }

  const names = (tubes) => J.dom.andList(tubes.map(({ at }) => at));

  J.pattern = { supply, currents };
})(globalThis.Benchlore ??= {});
