"use strict";

// The first page: the table in the order of the queue, what a sample proves, where words differ.

function firstPage(data, queue, status, words, filled) {
  const overview = document.getElementById("overview"), items = data.items;

  const percent = (share) =>
    (Math.ceil(1000 * share - 1e-9) / 10).toFixed(1).replace(".", data.decimal);

  function tell() {
    let accepted = 0, returned = 0;
    const body = overview.querySelector(".items tbody"), list = queue.list();
    for (const cell of body.querySelectorAll("[data-status]")) {
      const found = status(cell.dataset.status);
      accepted += found === "accepted";
      returned += found === "returned";
      cell.textContent = words[found];
      cell.className = found;
    }
    arrange(body, list);
    const line = document.getElementById("sample-now");
    if (returned) line.textContent = filled(words["sample returned"], { n: accepted, r: returned });
    else {
      const bound = percent(queue.bound(accepted, 0));
      line.textContent = accepted ? filled(words.sample, { n: accepted, bound }) : "";
    }
    plan();
  }

  function arrange(body, list) {
    const rows = new Map([...body.rows].map((row) =>
      [row.querySelector("[data-status]").dataset.status, row]));
    const wanted = new Set(list.map((item) => item.item));
    for (const { item } of queue.ordered()) {
      rows.get(item).hidden = !wanted.has(item);
      body.append(rows.get(item));
    }
    document.getElementById("queue-length").textContent =
      filled(words["queue length"], { n: list.length, all: items.length });
  }

  function plan() {
    const { n, returned } = queue.sample();
    const more = queue.left(n, returned, 0.05);
    document.getElementById("sample-plan").textContent = n
      ? filled(words["sample drawn"], { n, r: returned, bound: percent(queue.bound(n, returned)), more })
      : filled(words["sample plan"], { more });
  }

  return { tell };
}
