// Tables that sort by the column whose heading is pressed; the page reads well without.
for (const table of document.querySelectorAll("table")) {
  const body = table.tBodies[0];
  const heads = [...table.tHead.rows[0].cells];
  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const rising = head.getAttribute("aria-sort") !== "ascending";
      const key = (row) => {
        const cell = row.cells[column];
        return cell.dataset.value === undefined ? cell.textContent : Number(cell.dataset.value);
      };
      const compare = (one, other) => {
        const [a, b] = [key(one), key(other)];
        if (typeof a === "number" && typeof b === "number") return a - b;
        if (typeof a !== typeof b) return typeof a === "number" ? -1 : 1;
        return a.localeCompare(b, undefined, { numeric: true });
      };
      const rows = [...body.rows].sort(compare);
      if (!rising) rows.reverse();
      body.append(...rows);
      for (const other of heads) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", rising ? "ascending" : "descending");
    });
  });
}
