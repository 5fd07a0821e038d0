"use strict";
// Ticks stay: each plan has a drawer of its own in the browser's store. A browser that
// lends none to this page says so in words.
(() => {
  const boxes = [...document.querySelectorAll("input[data-tick]")];
  const key = `stripelay ${document.body.dataset.plan}`;
  const say = (what) => {
    for (const words of document.querySelectorAll("[data-ticks]")) {
      words.hidden = words.dataset.ticks !== what;
    }
  };
  const keep = () => {
    const ticked = boxes.filter((box) => box.checked).map((box) => box.dataset.tick);
    try {
      window.localStorage.setItem(key, JSON.stringify(ticked));
      say("kept");
    } catch {
      say("lost");
    }
  };
  try {
    const ticked = new Set(JSON.parse(window.localStorage.getItem(key) || "[]"));
    for (const box of boxes) box.checked = ticked.has(box.dataset.tick);
    window.localStorage.setItem(key, JSON.stringify([...ticked]));
    say("kept");
  } catch {
    say("lost");
  }
  document.addEventListener("change", (event) => {
    if (event.target.matches("input[data-tick]")) keep();
  });
  // What is cut, as `recut` takes it: the codes behind the ticks of the cut list.
  for (const field of document.querySelectorAll("[data-cut-codes]")) {
    const tell = () => {
      const cut = boxes.filter((box) => box.checked && box.dataset.tick.startsWith("cut-"));
      field.value = cut.map((box) => box.dataset.tick.slice(4)).join(",");
    };
    tell();
    document.addEventListener("change", tell);
    field.addEventListener("focus", () => field.select());
  }
  for (const button of document.querySelectorAll("[data-untick]")) {
    button.addEventListener("click", () => {
      for (const box of boxes) box.checked = false;
      keep();
    });
  }
})();
