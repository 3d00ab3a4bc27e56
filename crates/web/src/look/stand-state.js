// The job as this tablet shows it: what the shop said last, with what was tapped here since. No rule stands here; the
// shop judges every tap, and what it refuses is taken back.
(() => {
  const closed = (bolt) => bolt.state === "at value" || bolt.state === "at value and witnessed";

  /** The view with the taps that the shop has not answered yet. */
  const withTaps = (view, taps) => {
    // Only what a tap changes is copied: a view has hundreds of parts, a tap touches a few.
    const now = { ...view, steps: [...view.steps], fasteners: { ...view.fasteners }, problems: [...view.problems], looks: { ...view.looks } };
    const change = (found, more) => {
      const place = now.steps.findIndex(found);
      if (place >= 0) now.steps[place] = { ...now.steps[place], ...more };
      return now.steps[place];
    };
    const turn = (id, more) => { if (now.fasteners[id]) now.fasteners[id] = { ...now.fasteners[id], ...more }; };
    for (const { tap, at_words, waits } of taps) {
      const { event, by } = tap;
      const mark = { by, at: at_words, waits };
      if (event.kind === "started") now.stage = "in-work";
      if (event.kind === "done") {
        const one = change((other) => other.id === event.step, { done: mark });
        for (const id of one?.fasteners ?? []) turn(id, { state: one.strips ? "off" : "finger-tight", by: null, torque: null, waits });
      }
      if (event.kind === "rode") change((other) => other.ride, { done: mark });
      if (event.kind === "tightened" || event.kind === "closed-by-hand") {
        turn(event.fastener, { state: "at value", by, torque: event.torque ? parseFloat(event.torque) : null, waits });
      }
      if (event.kind === "problem") now.problems.push({ step: event.step ?? null, words: event.words, stops: event.stops, waits });
      if (event.kind === "paused") now.paused = { words: event.words, by, at: at_words, reason: "", parking: "", waits };
      if (event.kind === "resumed") now.paused = null;
      if (event.kind === "looked") now.looks[event.point] = by;
    }
    return now;
  };

  const isDone = (view, id) => Boolean(view.steps.find((step) => step.id === id)?.done);
  /** The steps that this one still waits for, in their order. */
  const waitsFor = (view, step) => view.steps.filter((other) => step.waits_for.includes(other.id) && !other.done);
  /** Why it waits: the nearest steps before it that are open. */
  const whyItWaits = (view, step) => {
    const behind = (id) => waitsFor(view, view.steps.find((other) => other.id === id) ?? { waits_for: [] }).length;
    const near = step.after.filter((link) => !isDone(view, link.step)).sort((one, other) => behind(one.step) - behind(other.step));
    const title = (id) => view.steps.find((other) => other.id === id)?.title ?? id;
    if (near.length > 0) return near.map((link) => ({ id: link.step, words: `${title(link.step)}: ${link.because}` }));
    return waitsFor(view, step).slice(0, 3).map((other) => ({ id: other.id, words: other.title }));
  };
  const openBolts = (view) => Object.entries(view.fasteners).filter(([, bolt]) => bolt.state !== "untouched" && !closed(bolt));
  /** Those that hurt while they are open. */
  const openDangers = (view) => openBolts(view).filter(([, bolt]) => bolt.hurts);
  const boltsOf = (view, step) => step.fasteners.map((id) => [id, view.fasteners[id]]).filter(([, bolt]) => bolt);
  /** Bolts that this step has closed by finger and nobody brought to their value. */
  const toClose = (view, step) => (step.done && !step.strips ? boltsOf(view, step).filter(([, bolt]) => !closed(bolt) && bolt.state !== "off") : []);
  const nextOpen = (view, from) => {
    const order = [...view.steps.slice(from + 1), ...view.steps.slice(0, from + 1)];
    return order.find((step) => !step.done && waitsFor(view, step).length === 0) ?? order.find((step) => !step.done);
  };
  const number = (value, digits = 1) => (value === null || value === undefined ? "" : Number(value).toFixed(digits).replace(/\.0+$/, ""));
  const torqueWords = (bolt) => {
    if (bolt.closing === "hand") return "by hand";
    if (bolt.least === null) return "read the print";
    return bolt.least === bolt.most ? number(bolt.least) : `${number(bolt.least)} to ${number(bolt.most)}`;
  };

  Object.assign(window.Stand, { withTaps, waitsFor, whyItWaits, openBolts, openDangers, boltsOf, toClose, nextOpen, closed, number, torqueWords, isDone });
})();
