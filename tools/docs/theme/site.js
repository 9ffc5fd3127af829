// Finds words in all pages, from an index that was built with them; opens the menu on wide screens.
"use strict";
const base = document.currentScript.dataset.base;
const menu = document.querySelector("details.menu");
const wide = matchMedia("(min-width: 50rem)");
const settle = () => { if (menu) menu.open = wide.matches; };
settle();
wide.addEventListener("change", settle);

const form = document.querySelector("form.find");
const field = document.getElementById("find");
const list = document.getElementById("found");
const folded = (text) => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

function found(words) {
  return (window.airwrightPages ?? [])
    .map((page) => ({ page, heavy: folded(page.title), light: folded(page.text) }))
    .filter(({ heavy, light }) => words.every((word) => heavy.includes(word) || light.includes(word)))
    .map((hit) => ({ ...hit, at: hit.light.indexOf(words[0]), score: words.filter((word) => hit.heavy.includes(word)).length }))
    .sort((one, other) => other.score - one.score)
    .slice(0, 12);
}

if (form && field && list) {
  form.hidden = false;
  form.addEventListener("submit", (event) => { event.preventDefault(); list.querySelector("a")?.click(); });
  field.addEventListener("input", () => {
    const words = folded(field.value).split(/\s+/).filter(Boolean);
    list.hidden = words.length === 0;
    list.replaceChildren(...(words.length ? found(words) : []).map(({ page, at }) => {
      const row = document.createElement("li");
      const link = document.createElement("a");
      link.href = `${base}/${page.url}`;
      link.textContent = page.title;
      const words = document.createElement("span");
      words.textContent = page.text.slice(Math.max(0, at - 30), Math.max(0, at) + 70);
      row.append(link, words);
      return row;
    }));
    if (words.length && !list.children.length) {
      const row = document.createElement("li");
      row.textContent = "Nothing found.";
      list.append(row);
    }
  });
}
