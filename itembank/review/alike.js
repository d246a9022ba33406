"use strict";

// Families judged once: variants whose words are the same but for their numbers.  What was said of
// the wording, or of the feedback, of one of them can be said of the others; each is still opened
// for its key, and shows where it differs.

function familyWords(data) {
  const PARTS = { "wording": /^question:/, "distractors and feedback": /^(feedback|worked)/ };
  const patterns = new Map();
  const lines = (item, facet) => item.seen.filter((line) => PARTS[facet].test(line));
  const general = (line) => line.replace(/[−-]?\d+/g, "#");

  function pattern(item, facet) {
    const key = facet + " " + item.item;
    if (!patterns.has(key)) {
      const words = lines(item, facet).map(general);
      const also = (item.also || {})[facet] || "";  // the same of its other languages
      patterns.set(key, [item.group, item.shape, also, ...words].join("\n"));
    }
    return patterns.get(key);
  }

  const judged = (facet) => facet in PARTS;

  // The other items whose words of this facet differ in numbers alone.
  function others(item, facet) {
    const mine = pattern(item, facet);
    return data.items.filter((one) => one !== item && !one.unread && pattern(one, facet) === mine);
  }

  // The lines in which an item differs from the one that was judged: [of that one, of this one].
  function differences(item, from, facet) {
    const before = lines(from, facet), now = lines(item, facet);
    return now.map((line, i) => [before[i], line]).filter(([a, b]) => a !== b);
  }

  return { judged, others, differences };
}
