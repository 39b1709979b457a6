// Loads a page again when its course has changed, at the place where the reader was, and shows what is wrong.
(() => {
  "use strict";
  const mark = document.currentScript.dataset.mark;
  const strip = document.getElementById("_rehearse");
  const KEY = `rehearse ${location.pathname}`;

  // Words may have come or gone further up, so a place is the last thing with an id above the middle of the screen.
  function leave() {
    let id = null, top = 0;
    for (const one of document.querySelectorAll("main [id]")) {
      const box = one.getClientRects()[0];
      if (box && box.top < innerHeight / 2) [id, top] = [one.id, box.top];
    }
    sessionStorage.setItem(KEY, JSON.stringify({ id, top, y: scrollY }));
    history.scrollRestoration = "manual";
    location.reload();
  }

  const place = JSON.parse(sessionStorage.getItem(KEY));
  function comeBack() {
    const one = place.y > 0 && place.id && document.getElementById(place.id);
    const box = one && one.getClientRects()[0];
    const y = box ? scrollY + box.top - place.top : place.y;
    scrollTo({ top: y, behavior: "instant" });
  }
  if (place) {
    sessionStorage.removeItem(KEY);
    // What lies out of sight gets its height only when it is near, and some of a page comes after it has loaded: the
    // place is kept while heights change, for two seconds or until the reader moves on.
    const heights = new ResizeObserver(comeBack), moved = new AbortController();
    const rest = () => {
      moved.abort();
      heights.disconnect();
      history.scrollRestoration = "auto";
    };
    for (const kind of ["wheel", "touchstart", "pointerdown", "keydown"]) {
      addEventListener(kind, rest, { signal: moved.signal, passive: true });
    }
    heights.observe(document.body);
    addEventListener("load", () => {
      comeBack();
      setTimeout(rest, 2000);
    });
  }

  let news = null, drawn = null;
  function hear(event) {
    const now = JSON.parse(event.data);
    if (now.mark != mark) return leave();
    // Drawn again it would open what a reader has closed.
    if (drawn != now.strip) strip.innerHTML = drawn = now.strip;
    strip.hidden = !drawn;
  }
  // A browser has few lines to one server: only pages that are seen take one.
  function listen() {
    if (news) news.close();
    news = document.hidden ? null : new EventSource("/rehearse-events");
    if (news) news.onmessage = hear;
  }
  document.addEventListener("visibilitychange", listen);
  addEventListener("pagehide", () => news && news.close());
  addEventListener("pageshow", event => event.persisted && listen());
  listen();
})();
