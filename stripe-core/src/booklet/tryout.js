"use strict";
// Runs the stripe through each motif as its sliders say. Everything is in the page:
// every piece's stripe is one <use>, moved and turned by its transform.
(() => {
  const sixteenths = (mm) => {
    let part = Math.round((mm / 25.4) * 16);
    const whole = Math.floor(part / 16);
    part %= 16;
    let of = 16;
    while (part && part % 2 === 0) { part /= 2; of /= 2; }
    if (!part) return `${whole} in`;
    return whole ? `${whole} ${part}/${of} in` : `${part}/${of} in`;
  };
  const shown = (mm, unit) =>
    unit === "in" ? sixteenths(mm)
      : unit === "cm" ? `${Math.round(mm) / 10} cm`
        : `${Math.round(mm)} mm`;
  const wrap = (x, m) => ((x % m) + m) % m;

  for (const part of document.querySelectorAll("fieldset[data-part]")) {
    const box = part.closest(".tryout");
    const unit = box.dataset.unit;
    const bands = JSON.parse(part.dataset.bands);
    const repeat = bands.reduce((sum, band) => sum + band[0], 0);
    const start = {
      offset: Number(part.dataset.offset),
      across: Number(part.dataset.across),
      along: Number(part.dataset.along),
    };
    const run = part.querySelector("[data-run]");
    const turn = part.querySelector("[data-turn]");
    const cross = part.querySelector("[data-cross]");
    const crossBands = cross ? JSON.parse(cross.dataset.bands) : [];
    const uses = box.querySelectorAll(`use[data-part="${part.dataset.part}"]`);
    const setting = part.querySelector("pre");
    const words = part.querySelector("output");
    let touched = false;

    const bandAt = (phase, bands) => {
      let end = 0;
      for (const [width, name] of bands) {
        end += width;
        if (phase < end) return name;
      }
      return bands[bands.length - 1][1];
    };
    const draw = () => {
      const offset = touched ? wrap(Number(run.value) * Number(run.dataset.step), repeat) : start.offset;
      const across = touched && turn ? Number(turn.value) : start.across;
      const along = touched && cross
        ? wrap(Number(cross.value) * Number(cross.dataset.step), Number(cross.dataset.repeat))
        : start.along;
      for (const use of uses) {
        const normal = Number(use.dataset.normal) + (turn ? across - start.across : 0);
        const phase = wrap(Number(use.dataset.phase) + offset - start.offset, repeat);
        const row = Number(use.dataset.along) + along - start.along;
        use.setAttribute("transform", `rotate(${normal}) translate(${-phase} ${-row})`);
      }
      const lines = [`offset = "${shown(offset, unit)}"`];
      if (turn) lines.unshift(`stripe_angle = ${Math.round(across * 10) / 10}`);
      if (cross) lines.push(`offset_along = "${shown(along, unit)}"`);
      setting.textContent = lines.join("\n");
      const crossing = crossBands.length ? `, crossed by ${bandAt(along, crossBands)}` : "";
      words.textContent = `${bandAt(offset, bands)}${crossing} ${part.dataset.place}`;
      run.setAttribute("aria-valuetext", `${shown(offset, unit)}, ${words.textContent}`);
      if (cross) cross.setAttribute("aria-valuetext", `${shown(along, unit)}${crossing}`);
      if (turn) turn.setAttribute("aria-valuetext", `${across} degrees`);
    };
    const touch = () => { touched = true; draw(); };
    run.addEventListener("input", touch);
    if (turn) turn.addEventListener("input", touch);
    if (cross) cross.addEventListener("input", touch);
    part.querySelector("button").addEventListener("click", () => {
      touched = false;
      run.value = Math.round(start.offset / Number(run.dataset.step));
      if (turn) turn.value = Math.round(start.across);
      if (cross) cross.value = Math.round(start.along / Number(cross.dataset.step));
      draw();
    });
    draw();
  }
})();
