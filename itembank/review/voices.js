"use strict";

// What several persons have said of an item: on record, in files that are loaded, and here.

// `of(name)`: the reviewer's own work on an item; `me()`: the reviewer's name, folded.
function severalVoices(data, loaded, of, me, folded) {
  const returnName = (open) => open.facet + " / " + folded(open.by);

  // What others have said of it in files: { by, date, facets } each.
  const others = (item) => loaded.on(item, me());

  // The returns on record, and those of loaded files.
  function returns(item) {
    const found = [...(item.returns || [])];
    const known = new Set(found.map(returnName));
    for (const one of others(item)) {
      for (const [facet, said] of Object.entries(one.facets)) {
        const open = { facet, by: one.by, date: one.date, comment: said.comment };
        if (said.verdict === "returned" && !known.has(returnName(open))) found.push(open);
      }
    }
    return found;
  }

  // The facets that one reviewer accepts and another returns.
  function disputed(item) {
    const kept = of(item.item);
    const voices = [kept.facets, ...others(item).map((one) => one.facets)];
    return data.facets.filter(function (facet) {
      const found = voices.map((facets) => (facets[facet] || {}).verdict);
      const settled = Object.entries(kept.settled || {}).some(([name, word]) =>
        name.startsWith(facet + " / ") && word.verdict && readable(word.comment));
      return found.includes("accepted") && found.includes("returned") && !settled;
    });
  }

  return { returnName, others, returns, disputed };
}
