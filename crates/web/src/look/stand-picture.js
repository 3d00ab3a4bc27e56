// The picture beside a step: drawn by the shop from the plan, kept by the tablet, shown large when pressed.
(() => {
  const { h, button } = window.Stand;

  /** The pictures of a job; fetched anew only when what they were drawn from has changed. */
  class Pictures {
    constructor(job) {
      Object.assign(this, { job, mark: undefined, steps: {}, pictures: {}, drawn: new Map(), buttons: new Map() });
    }

    address(mark) { return `/jobs/${this.job}/stand/pictures.json?${mark}`; }

    /** Whether there are other pictures now. Without network, and never fetched, steps stand without theirs. */
    async follow(mark) {
      if (this.mark === mark || this.asking === mark) return false;
      this.asking = mark;
      try {
        const answer = await fetch(this.address(mark), { headers: { accept: "application/json" }, redirect: "manual" });
        if (!answer.ok) return false;
        const { steps, pictures } = await answer.json();
        Object.assign(this, { mark, steps, pictures, drawn: new Map(), buttons: new Map() });
        return true;
      } catch {
        return false;
      } finally {
        this.asking = undefined;
      }
    }

    of(step) { return this.pictures[this.steps[step]]; }

    /** The drawing as a part of the page; read once, copied after that. */
    svg(picture) {
      let root = this.drawn.get(picture);
      if (!root) {
        root = new DOMParser().parseFromString(picture.svg, "image/svg+xml").documentElement;
        root.removeAttribute("width");
        root.removeAttribute("height");
        this.drawn.set(picture, root);
      }
      return document.importNode(root, true);
    }

    /** The picture beside a step, or nothing. The same part of the page each time: a tap draws nothing anew. */
    beside(step, large) {
      const picture = this.of(step);
      if (picture && !this.buttons.has(step)) {
        this.buttons.set(step, button([this.svg(picture), h("span", { class: "unseen" }, "see it large")], large, { class: "step-picture", "data-picture": this.steps[step] }));
      }
      return this.buttons.get(step);
    }

    /** The picture over the whole screen, with its words. */
    large(step, back) {
      const picture = this.of(step);
      return h("section", { class: "large-picture" }, h("h2", {}, picture.title),
        h("div", { class: picture.figures ? "sheet figures" : "sheet", tabindex: "0", role: "region", "aria-label": picture.title }, this.svg(picture)),
        h("p", { class: "quiet", id: "picture-words" }, picture.words),
        h("div", { class: "row" }, button("Back to the step", back)));
    }
  }

  Object.assign(window.Stand, { Pictures });
})();
