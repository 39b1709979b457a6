// Keeps the site on the device where it is read from a web server, and says when a new version has come.
(() => {
  "use strict";
  const workers = navigator.serviceWorker;
  if (!workers || !location.protocol.startsWith("http")) return;
  const news = document.getElementById("_news");
  // The first worker takes over a page that came with it: no news.
  let known = workers.controller;
  workers.addEventListener("controllerchange", () => {
    if (known) news.hidden = false;
    known = true;
  });
  news.querySelector("button").addEventListener("click", () => location.reload());
  // Asks now, for a browser left to itself may wait until the worker rests. Without a network there is nothing to hear;
  // where the browser keeps nothing, the page is as good as before.
  workers.register("sw.js").then(site => known && site.update()).catch(() => {});
})();
