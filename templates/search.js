"use strict";
const box = document.getElementById("search"), list = document.getElementById("all-pages");
const input = box.querySelector("input"), told = box.querySelector("output");
const items = [...list.querySelectorAll("li")].map(li => [li, (li.textContent + " " + li.dataset.found).toLowerCase()]);
const others = [...document.querySelectorAll("main > .answer, main > .part, main > .contents")].filter(e => !e.contains(list));
const look = () => {
  const words = input.value.toLowerCase().split(/\s+/).filter(Boolean);
  let count = 0;
  for (const [li, text] of items) {
    li.hidden = !words.every(word => text.includes(word));
    if (!li.hidden) count++;
  }
  for (const group of list.querySelectorAll("[data-group]")) group.hidden = !group.querySelector("li:not([hidden])");
  for (const other of others) other.hidden = words.length > 0;
  told.textContent = words.length ? (count === 1 ? "1 page" : count + " pages") : "";
};
box.hidden = false;
input.addEventListener("input", look);
if (input.value) look();
