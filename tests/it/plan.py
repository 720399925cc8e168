"""Plans every case a second time, with scipy's linear programming and networkx, and says what does not agree.

The least beginnings that keep a set of differences are those with the least sum, so a linear programme finds them; the latest
ones those with the greatest. networkx says by Bellman and Ford whether the differences can be kept at all, and gives the length of
the longest path where there are no windows.
"""

import json
import sys

import networkx
import numpy
from scipy.optimize import linprog

cases = json.load(open(sys.argv[1]))
wrong, feasible, refused, slips, plain = [], 0, 0, 0, 0
for number, case in enumerate(cases):
    tasks, found = case["tasks"], case["found"]
    n = len(tasks)
    at = {task["name"]: index for index, task in enumerate(tasks)}
    lasts = [task["duration"] for task in tasks]
    # begin[second] - begin[first] >= lower; the n-th unknown is the beginning of all.
    lower = []
    windows = False
    for index, task in enumerate(tasks):
        lower.append((n, index, task["not_before"]))
        if task["begins_at"] is not None:
            lower.append((n, index, task["begins_at"]))
            lower.append((index, n, -task["begins_at"]))
            windows = True
        for name in task["after"]:
            lower.append((at[name], index, lasts[at[name]]))
        if task["coat_over"] is not None:
            first = at[task["coat_over"]]
            lower.append((first, index, lasts[first] + task["earliest"]))
            if task["latest"] is not None:
                lower.append((index, first, -lasts[first] - task["latest"]))
                windows = True
    graph = networkx.DiGraph()
    graph.add_nodes_from(range(n + 1))
    for first, second, least in lower:
        if not graph.has_edge(first, second) or graph[first][second]["weight"] > -least:
            graph.add_edge(first, second, weight=-least)
    possible = not networkx.negative_edge_cycle(graph)
    if possible != (found is not None):
        wrong.append(f"case {number}: networkx says {possible}")
        continue
    if not possible:
        refused += 1
        continue
    feasible += 1
    ub = numpy.zeros((len(lower), n + 1))
    rhs = numpy.zeros(len(lower))
    for row, (first, second, least) in enumerate(lower):
        ub[row, first] += 1
        ub[row, second] -= 1
        rhs[row] = -least
    start = [(0, 1e5)] * n + [(0, 0)]
    early = linprog(numpy.ones(n + 1), A_ub=ub, b_ub=rhs, bounds=start, method="highs")
    assert early.status == 0, early.message
    length = max(early.x[i] + lasts[i] for i in range(n))
    ends = [(0, length - lasts[i]) for i in range(n)] + [(0, 0)]
    late = linprog(-numpy.ones(n + 1), A_ub=ub, b_ub=rhs, bounds=ends, method="highs")
    assert late.status == 0, late.message
    if not windows:
        plain += 1
        for index in range(n):
            for first, second, least in [(index, n + 1, lasts[index])]:
                graph.add_edge(first, second, weight=-least)
        for _, _, data in graph.edges(data=True):
            data["weight"] = -data["weight"]
        longest = networkx.dag_longest_path_length(graph)
        if abs(longest - found["length"]) > 0.006:
            wrong.append(f"case {number}: networkx has length {longest}, we {found['length']}")
    if abs(length - found["length"]) > 0.006:
        wrong.append(f"case {number}: length {length}, we {found['length']}")
    for index in range(n):
        ours = found["tasks"][index]
        slips += ours["latest_begin"] > ours["earliest_begin"]
        for name, theirs in (("earliest_begin", early.x[index]), ("latest_begin", late.x[index])):
            if abs(theirs - ours[name]) > 0.006:
                wrong.append(f"case {number}, {tasks[index]['name']}: {name} {theirs}, we {ours[name]}")
print(json.dumps({"wrong": wrong, "feasible": feasible, "refused": refused, "slips": slips, "plain": plain}))
