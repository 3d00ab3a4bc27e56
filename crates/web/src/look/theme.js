// Before the page is drawn: the light that was chosen last on this device.
(() => {
  const chosen = localStorage.getItem("light");
  if (chosen) document.documentElement.dataset.light = chosen;
})();
