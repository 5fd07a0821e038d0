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

  // Copies words, and says whether it could. Where the browser lends no clipboard, the old
  // way is tried: words in a field of their own, selected.
  const copy = async (words, button) => {
    let done = false;
    try {
      await navigator.clipboard.writeText(words);
      done = true;
    } catch {
      const field = document.createElement("textarea");
      field.value = words;
      document.body.append(field);
      field.select();
      try { done = document.execCommand("copy"); } catch { done = false; }
      field.remove();
    }
    const said = button.parentElement.querySelector("[data-copied]");
    said.textContent = done ? "Copied." : "Could not copy. Select the lines and copy them yourself.";
    button.focus();
  };

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
    const angle = part.querySelector("[data-angle]");
    const cross = part.querySelector("[data-cross]");
    const crossBands = cross ? JSON.parse(cross.dataset.bands) : [];
    const uses = box.querySelectorAll(`use[data-part="${part.dataset.part}"]`);
    const setting = part.querySelector("pre");
    const words = part.querySelector("output");
    let touched = false;
    // As typed, or as the slider has it: never rounded.
    let across = start.across;

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
      const along = touched && cross
        ? wrap(Number(cross.value) * Number(cross.dataset.step), Number(cross.dataset.repeat))
        : start.along;
      for (const use of uses) {
        const normal = Number(use.dataset.normal) + across - start.across;
        const phase = wrap(Number(use.dataset.phase) + offset - start.offset, repeat);
        const row = Number(use.dataset.along) + along - start.along;
        use.setAttribute("transform", `rotate(${normal}) translate(${-phase} ${-row})`);
      }
      const lines = [`offset = "${shown(offset, unit)}"`];
      if (turn) lines.unshift(`stripe_angle = ${Math.round(across * 1e4) / 1e4}`);
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
    if (turn) {
      turn.addEventListener("input", () => {
        across = Number(turn.value);
        angle.value = turn.value;
        touch();
      });
      angle.addEventListener("input", () => {
        const typed = Number(angle.value);
        if (angle.value === "" || !Number.isFinite(typed)) return;
        across = typed;
        turn.value = typed;
        touch();
      });
    }
    if (cross) cross.addEventListener("input", touch);
    part.querySelector("[data-back]").addEventListener("click", () => {
      touched = false;
      across = start.across;
      run.value = Math.round(start.offset / Number(run.dataset.step));
      if (turn) {
        turn.value = start.across;
        angle.value = Math.round(start.across * 1e4) / 1e4;
      }
      if (cross) cross.value = Math.round(start.along / Number(cross.dataset.step));
      draw();
    });
    part.querySelector("[data-copy]").addEventListener("click", (event) => {
      copy(setting.textContent, event.currentTarget);
    });
    draw();
  }

  for (const button of document.querySelectorAll("[data-copy-all]")) {
    button.addEventListener("click", () => {
      const all = [...document.querySelectorAll("fieldset[data-part]")].map((part) => {
        const motif = part.closest(".tryout").dataset.motif;
        return `# ${motif}, ${part.dataset.name}\n${part.querySelector("pre").textContent}\n`;
      });
      copy(all.join("\n"), button);
    });
  }
})();
