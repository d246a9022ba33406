"use strict";

// The keys of a reviewer.  In a field that is typed in they type; Escape leaves it.  Single
// letters can be turned off, as those who speak to their computer need (WCAG 2.2, 2.1.4).

function reviewKeys(act) {
  const dialog = document.getElementById("help"), on = document.getElementById("keys-on");
  const typedIn = "textarea, select, input:not([type=radio]):not([type=checkbox])";
  let before = null;

  function help() {
    before = document.activeElement;
    dialog.showModal();
  }

  dialog.addEventListener("close", () => before && before.focus());
  document.getElementById("keys").onclick = help;
  document.getElementById("help-close").onclick = () => dialog.close();

  function digit(page, n) {
    if (act.opened()) return back(page, [...page.querySelectorAll("[data-facet]")][n - 1]);
    const boxes = page.querySelectorAll(".question fieldset.answer input");
    if (!boxes[n - 1]) return false;
    boxes[n - 1].focus();
    boxes[n - 1].click();
    return true;
  }

  // Returns a facet, and goes to the comment that says why.
  function back(page, set) {
    const radio = set && set.querySelector("[value=returned]");
    if (!radio) return false;
    if (set.closest("details")) set.closest("details").open = true;
    radio.checked = true;
    act.takeDown(page, [set]);
    act.unfold(page, true);
    set.querySelector("textarea").focus();
    return true;
  }

  // A digit or a sign that is typed beside an entry begins the answer.
  function begins(page, key) {
    if (!page || act.opened() || !/^[\d−+-]$/.test(key)) return false;
    const field = page.querySelector(".question input[type=text]");
    if (!field) return false;
    field.focus();
    return true;
  }

  function comment(page) {
    act.unfold(page, true);
    const sets = [...page.querySelectorAll("[data-facet]")];
    const at = document.activeElement.closest("[data-facet]");
    (at || sets.find((set) => set.querySelector("[value=returned]:checked")) || sets[0])
      .querySelector("textarea").focus();
  }

  function toFacets(page) {
    act.unfold(page, true);
    page.querySelector("[data-facet] [value=returned]").focus();
    act.say(act.words["which facet"]);
  }

  function evidence(page) {
    const parts = [...page.querySelectorAll(".evidence")];
    const all = parts.every((part) => part.open);
    for (const part of parts) part.open = !all;
  }

  const onPage = {
    k: (page) => act.opened() || act.reveal(page, "asked"),
    a: (page) => act.opened() && page.querySelector(".all") && act.acceptAll(page) && act.onward(),
    r: (page) => act.opened() && toFacets(page),
    c: (page) => act.opened() && comment(page),
    e: (page) => act.opened() && evidence(page),
  };
  const anywhere = {
    n: () => act.turn(1), b: () => act.turn(-1), j: act.onward, u: act.undo, o: act.overview,
    "?": help,
  };

  document.addEventListener("keydown", function (event) {
    if (event.ctrlKey || event.altKey || event.metaKey || dialog.open || event.isComposing) return;
    const page = act.page(), at = event.target;
    if (event.key === "Escape" && at.matches(typedIn)) {
      if (page) page.querySelector(act.opened() ? ".outcome" : "h2").focus();
      else at.blur();
      return;
    }
    if (at.matches(typedIn) || !on.checked && event.key !== "?") return;
    if (event.key === "Enter" && page && !at.matches("button, a, summary, input")) {
      event.preventDefault();
      act.compare(page);
    } else if (begins(page, event.key)) {
      return;
    } else if (page && /^[1-9]$/.test(event.key)) {
      if (digit(page, Number(event.key))) event.preventDefault();
    } else if (page && onPage[event.key]) {
      event.preventDefault();
      onPage[event.key](page);
    } else if (anywhere[event.key]) {
      event.preventDefault();
      anywhere[event.key]();
    }
  });
}
