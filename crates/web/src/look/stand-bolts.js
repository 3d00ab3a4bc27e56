// All bolts that were touched, by how far each is: what is off, finger-tight, at value, witnessed.
(() => {
  const { h, button, number } = window.Stand;
  const STATES = [["finger-tight", "Finger-tight"], ["off", "Off"], ["at value", "At value"], ["at value and witnessed", "At value and witnessed"]];

  /** @param close what a press on a finger-tight bolt does; none: it is only looked at */
  const boltList = (view, close) => {
    const all = Object.entries(view.fasteners);
    const line = ([id, bolt]) => h("li", { "data-listed": id },
      h("span", {}, bolt.title, bolt.hurts && h("span", { class: "hurts" }, " · can hurt"),
        h("span", { class: "quiet" }, [bolt.torque && `${number(bolt.torque)} N·m`, bolt.by, bolt.waits].filter(Boolean).map((words) => ` · ${words}`).join(""))),
      close && bolt.state === "finger-tight" && button(bolt.closing === "hand" ? "Closed" : "At value", () => close(id), { class: "main", "data-close": id }));
    const groups = STATES.map(([state, words]) => [words, all.filter(([, bolt]) => bolt.state === state)]).filter(([, bolts]) => bolts.length > 0);
    if (groups.length === 0) return h("p", {}, "No bolt was touched yet.");
    return groups.map(([words, bolts]) => h("div", { class: "bolt-group" }, h("h2", {}, `${words}: ${bolts.length}`), h("ul", {}, bolts.map(line))));
  };

  Object.assign(window.Stand, { boltList });
})();
