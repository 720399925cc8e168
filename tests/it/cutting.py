"""Hopper and Turton's 21 instances, as hyperpack has them, and the least heights that rectpack's heuristics find for each."""

import importlib
import json

import rectpack

families = {
    "free": [rectpack.MaxRectsBl, rectpack.MaxRectsBssf, rectpack.MaxRectsBaf],
    "edge_to_edge": [
        rectpack.GuillotineBssfSas,
        rectpack.GuillotineBafMinas,
        rectpack.GuillotineBlsfLas,
    ],
}
sorts = [rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_SSIDE, rectpack.SORT_PERI]


def has_room(items, width, height, rule, sort):
    packer = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=rectpack.PackingBin.BFF,
        pack_algo=rule,
        sort_algo=sort,
        rotation=True,
    )
    for item in items:
        packer.add_rect(*item)
    packer.add_bin(width, height)
    packer.pack()
    return len(packer.rect_list()) == len(items)


found = []
for number in range(1, 8):
    name = f"hyperpack.benchmarks.datasets.hopper_and_turton_2000.C{number}"
    data = importlib.import_module(name)
    container = data.containers["container_0"]
    width, optimum = container["W"], container["L"]
    for problem in "abc":
        items = [(item["w"], item["l"]) for item in getattr(data, f"items_{problem}").values()]
        assert sum(w * l for w, l in items) == width * optimum, (number, problem)
        best = {}
        for family, rules in families.items():
            height = optimum
            while not any(
                has_room(items, width, height, rule, sort)
                for rule in rules
                for sort in (sorts if number < 6 else sorts[:2])
            ):
                height += 1
            best[family] = height
        found.append(
            {"name": f"C{number}{problem}", "width": width, "optimum": optimum, "items": items, "best": best}
        )
print(json.dumps(found))
