// Taps along with a noise: a big button for each turn of the crank, one for each noise. The seconds go into the form,
// which asks the shop what they mean. Without this the count is typed.
(() => {
  const LEAST = 3; // of each kind, before they are laid against each other
  const REST_MS = 2000; // the answer comes once the hand rests: nothing on the page moves under a finger
  const form = document.getElementById("seen");
  const fields = { crank: form.elements.crank, tick: form.elements.tick };
  const words = { crank: ["turn", "turns"], tick: ["noise", "noises"] };
  const read = (kind) => fields[kind].value.split(" ").filter(Boolean).map(Number);
  const show = () => {
    for (const button of form.querySelectorAll("[data-taps]")) {
      const count = read(button.dataset.taps).length;
      button.querySelector("strong").textContent = `${count} ${words[button.dataset.taps][count === 1 ? 0 : 1]}`;
    }
  };
  let resting;
  const ask = () => form.dispatchEvent(new Event("change", { bubbles: true }));

  // Both kinds run on one clock; its zero does not matter, so an earlier page's taps are only kept until the next tap.
  let fresh = true;
  const tap = (kind, at_ms) => {
    if (fresh) { fields.crank.value = fields.tick.value = ""; fresh = false; }
    fields[kind].value = `${fields[kind].value} ${(at_ms / 1000).toFixed(3)}`.trim();
    show();
    clearTimeout(resting);
    if (read("crank").length >= LEAST && read("tick").length >= LEAST) resting = setTimeout(ask, REST_MS);
  };

  for (const button of form.querySelectorAll("[data-taps]")) {
    // The finger counts when it comes down, not when it goes; the keyboard has no such moment.
    button.addEventListener("pointerdown", (event) => { if (event.isPrimary) tap(button.dataset.taps, event.timeStamp); });
    button.addEventListener("click", (event) => { if (event.detail === 0) tap(button.dataset.taps, event.timeStamp); });
  }
  form.querySelector("[data-taps-anew]").addEventListener("click", () => {
    fields.crank.value = fields.tick.value = "";
    fresh = false;
    clearTimeout(resting);
    show();
    ask();
  });
  form.elements.comes.addEventListener("change", () => {
    document.getElementById("taps").hidden = form.elements.comes.value !== "pedalling";
  });
  for (const part of form.querySelectorAll(".tap-along, .tap-ways")) part.hidden = false;
  show();
})();
