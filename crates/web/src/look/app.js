// What every page does: light or dark, the number pad of the sign-in, and news of changes. Pages work without it.
(() => {
  const root = document.documentElement;

  document.getElementById("theme")?.addEventListener("click", () => {
    const dark = root.dataset.light
      ? root.dataset.light === "dark"
      : matchMedia("(prefers-color-scheme: dark)").matches;
    root.dataset.light = dark ? "light" : "dark";
    localStorage.setItem("light", root.dataset.light);
  });

  // The room that is open stands in view, however narrow the row of rooms is.
  const here = () => {
    for (const link of document.querySelectorAll(".rooms [aria-current], .bar nav [aria-current]")) {
      const row = link.parentElement;
      row.scrollLeft = link.offsetLeft - row.offsetLeft - (row.clientWidth - link.offsetWidth) / 2;
    }
  };
  here();

  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-pad]");
    if (!key) return;
    const field = document.getElementById(key.dataset.padFor);
    if (key.dataset.pad === "back") field.value = field.value.slice(0, -1);
    else field.value += key.dataset.pad;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });

  // A notice is read before anything else.
  document.addEventListener("htmx:after:swap", () => {
    const notice = document.getElementById("notice");
    if (notice?.firstElementChild) notice.scrollIntoView({ block: "start" });
  });

  const follows = document.body.dataset.follows;
  if (!follows || !window.EventSource) return;

  // What somebody is typing is not pulled from under their hands: then a line says what changed, and a tap shows it.
  const typing = () =>
    [...document.querySelectorAll("#page input, #page textarea, #page select")].some((field) =>
      field.type === "checkbox" || field.type === "radio"
        ? field.checked !== field.defaultChecked
        : field.type !== "hidden" && field.defaultValue !== undefined && field.value !== field.defaultValue);

  const renew = async () => {
    const answer = await fetch(location.href, { headers: { accept: "text/html" } });
    if (!answer.ok) return;
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    const page = fresh.getElementById("page");
    if (!page) return;
    const open = [...document.querySelectorAll("#page details[open]")].map((part) => part.querySelector("summary")?.textContent);
    document.getElementById("page").replaceWith(page);
    for (const part of page.querySelectorAll("details"))
      if (open.includes(part.querySelector("summary")?.textContent)) part.open = true;
    document.body.dataset.version = fresh.body.dataset.version ?? "";
    window.htmx?.process(page);
    here();
    document.getElementById("news")?.remove();
  };

  const tell = (text) => {
    let news = document.getElementById("news");
    if (!news) {
      news = document.createElement("p");
      news.id = "news";
      news.setAttribute("role", "status");
      document.getElementById("notice").after(news);
    }
    news.textContent = `${text} `;
    const show = document.createElement("button");
    show.type = "button";
    show.textContent = "Show it";
    show.addEventListener("click", renew);
    news.append(show);
  };

  let waiting;
  const changed = (text) => {
    if (typing()) return tell(text);
    clearTimeout(waiting);
    waiting = setTimeout(renew, 120);
  };

  const source = new EventSource("/live");
  source.addEventListener("changed", (event) => {
    const change = JSON.parse(event.data);
    if (follows !== "*" && change.job !== follows) return;
    if (change.job === follows && change.version <= Number(document.body.dataset.version)) return;
    changed(`${change.by}: ${change.what}.`);
  });
  source.addEventListener("all", () => changed("Much has changed."));
  // After a gap nobody knows what was missed.
  let gap = false;
  source.onerror = () => { gap = true; };
  source.onopen = () => { if (gap) { gap = false; changed("The network was away."); } };
})();
