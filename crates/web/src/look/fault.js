// A field of the grid becomes a button that goes on to the next word with each press. Without this it is a plain choice.
(() => {
  for (const choice of document.querySelectorAll("select.cell")) {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "cell";
    const show = () => {
      button.textContent = choice.options[choice.selectedIndex].textContent;
      button.dataset.word = choice.value;
      button.setAttribute("aria-label", `${choice.getAttribute("aria-label")}: ${button.textContent}`);
    };
    button.addEventListener("click", () => {
      choice.selectedIndex = (choice.selectedIndex + 1) % choice.options.length;
      show();
      choice.dispatchEvent(new Event("change", { bubbles: true }));
    });
    show();
    choice.hidden = true;
    choice.after(button);
  }
})();
