"""Recomputes every total of the ledgers from their lines, with nothing of ours."""

import csv
import json
import sys
from collections import defaultdict
from decimal import Decimal
from pathlib import Path

folder = Path(sys.argv[1])


def rows(name):
    with open(folder / name, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, strict=True))


sums = defaultdict(Decimal)
for ledger, column in (("hours", "hours"), ("costs", "amount")):
    for row in rows(f"{ledger}.csv"):
        if not row[column]:
            continue
        unit = "h" if ledger == "hours" else row["currency"]
        for by in ("all", "place", "repair", "person", "month"):
            name = "" if by == "all" else row[by]
            sums[ledger, by, name, unit] += Decimal(row[column])
said = {(r["ledger"], r["by"], r["name"], r["unit"]): Decimal(r["total"]) for r in rows("totals.csv")}
wrong = [key for key in sums.keys() | said.keys() if sums.get(key) != said.get(key)]
whole = json.loads((folder / "ledgers.json").read_text(encoding="utf-8"))
for name in ("hours", "costs", "materials", "totals"):
    if whole[name] != rows(f"{name}.csv"):
        wrong.append(name)
print(f"{len(said)} totals, {len(wrong)} wrong: {wrong}")
sys.exit(1 if wrong else 0)
