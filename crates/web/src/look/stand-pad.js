// What every screen of the stand is built from: elements, and the number pad that stands in for a keyboard.
(() => {
  /** An element with its attributes and what stands in it. */
  const h = (tag, attributes = {}, ...inside) => {
    const element = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) {
      if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
      else if (value === true) element.setAttribute(name, "");
      else if (value !== false && value !== null && value !== undefined) element.setAttribute(name, value);
    }
    element.append(...inside.flat(4).filter((one) => one !== null && one !== undefined && one !== false));
    return element;
  };
  const button = (words, on, more = {}) => h("button", { type: "button", onclick: on, ...more }, words);

  /**
   * A number pad over one value: big minus and plus around what is expected, keys of 25 mm, the unit already there. A
   * value outside the range is asked about once, with the reason.
   */
  const pad = ({ title, unit, digits, expected, least, most, beyond, keep, back, outside }) => {
    const step = digits > 0 ? 0.5 : 1;
    let text = expected === null || expected === undefined ? "" : Number(expected).toFixed(digits);
    let fresh = true;
    let asked = false;
    const shown = h("output", { class: "big", id: "pad-value" });
    const ask = h("div", { class: "ask", role: "alert" });
    const number = () => (text === "" || text === "." ? null : Number(text));
    const show = () => {
      shown.replaceChildren(text === "" ? "–" : text, h("span", { class: "unit" }, ` ${unit}`));
      if (!asked) ask.replaceChildren();
    };
    const change = (by) => {
      text = Math.max(0, (number() ?? least ?? 0) + by).toFixed(digits);
      [fresh, asked] = [true, false];
      show();
    };
    const key = (sign) => {
      asked = false;
      if (sign === "⌫") text = fresh ? "" : text.slice(0, -1);
      else if (sign === "." && (fresh ? false : text.includes("."))) return;
      else text = (fresh ? "" : text) + sign;
      if (text.length > 6) text = text.slice(0, 6);
      fresh = false;
      show();
    };
    const done = () => {
      const value = number();
      if (value === null || !Number.isFinite(value)) return;
      const out = (least !== null && value < least - 1e-9) || (most !== null && value > most + 1e-9);
      if (out && !asked) {
        asked = true;
        ask.replaceChildren(h("p", {}, `${text} ${unit}? ${beyond}`), ...(outside ? outside(value) : [h("p", {}, "Press Keep again if it is so.")]),
          button("Type it again", () => { [asked, fresh] = [false, true]; show(); }, { class: "again" }));
        return;
      }
      if (out && outside) return;
      keep(value);
    };
    show();
    return h("section", { class: "pad-screen" },
      h("h2", {}, title),
      h("div", { class: "around" }, button("−", () => change(-step), { "aria-label": `${step} ${unit} less` }), shown, button("+", () => change(step), { "aria-label": `${step} ${unit} more` })),
      ask,
      h("div", { class: "keys" }, ["1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "0", "⌫"].map((sign) =>
        button(sign, () => key(sign), { "data-key": sign, "aria-label": sign === "⌫" ? "take one away" : sign }))),
      h("div", { class: "row" }, button("Back", back), button("Keep", done, { class: "main", id: "pad-keep" })));
  };

  Object.assign(window.Stand, { h, button, pad });
})();
