#!/usr/bin/python3
# SPDX-License-Identifier: MIT
"""What NetworkX makes of the yards that networkx_test.cpp writes down.

    networkx_says.py YARDS ANSWERS

Reads yards as lines of words, one part a line, each yard closed by `end`, and answers each in the
same order. It works from the parts alone and shares no code with the program under test: minimum
cuts, bridges and articulation points are NetworkX's own; all smallest sets are found by trying
every set of that size, where there are few enough.
"""
import itertools
import math
import sys

import networkx as nx

MOST_TRIES = 2000


class Yard:
    def __init__(self):
        self.tanks, self.places, self.hoses, self.straight, self.pumps = [], [], {}, [], []
        self.take, self.joined, self.open = set(), set(), set()
        self.pumps_count = True

    def read(self, words):
        kind, rest = words[0], words[1:]
        if kind == "tank":
            self.tanks.append(rest[0])
            self.places.append(rest[0])
        elif kind == "place":
            self.places.append(rest[0])
        elif kind == "hose":
            self.hoses[rest[0]] = (rest[1], rest[2], rest[3] == "valve")
        elif kind == "straight":
            self.straight.append((rest[0], rest[1]))
        elif kind == "pump":
            self.pumps.append((rest[0], rest[1]))
        elif kind in ("take", "joined", "open"):
            setattr(self, kind, set(rest))
        elif kind == "pumps_count":
            self.pumps_count = rest[0] == "yes"
        else:
            raise ValueError(kind)

    def graph(self, hoses):
        """Places, joined by these hoses and by what sits straight on a place."""
        graph = nx.MultiGraph()
        graph.add_nodes_from(self.places)
        for hose in hoses:
            graph.add_edge(self.hoses[hose][0], self.hoses[hose][1], key=hose)
        for number, (outlet, at) in enumerate(self.straight):
            graph.add_edge(outlet, at, key=("straight", number))
        return graph

    def other_water(self):
        other = set(self.tanks) - self.take
        if self.pumps_count:
            for ends in self.pumps:
                if not self.take & set(ends):
                    other |= set(ends)
        return other

    def fewest(self, hoses, shuttable):
        """How many of the shuttable hoses must go; None: they do not suffice."""
        graph = nx.DiGraph()
        graph.add_nodes_from(["inside", "outside"])

        def add(a, b, capacity):
            for ends in ((a, b), (b, a)):
                if graph.has_edge(*ends):
                    capacity_before = graph.edges[ends].get("capacity", math.inf)
                    graph.edges[ends]["capacity"] = capacity_before + capacity
                else:
                    graph.add_edge(*ends, capacity=capacity)

        for hose in hoses:
            a, b, _ = self.hoses[hose]
            add(a, b, 1 if hose in shuttable else math.inf)
        for outlet, at in self.straight:
            add(outlet, at, math.inf)
        for tank in self.take:
            add("inside", tank, math.inf)
        for place in self.other_water():
            add(place, "outside", math.inf)
        try:
            return int(nx.minimum_cut_value(graph, "inside", "outside"))
        except nx.NetworkXUnbounded:
            return None

    def all_sets(self, hoses, shuttable, size):
        """Every set of so many shuttable hoses that does it; None: too many to try."""
        graph = self.graph(hoses)
        graph.add_edges_from(("inside", tank) for tank in self.take)
        graph.add_edges_from((place, "outside") for place in self.other_water())
        near = nx.node_connected_component(graph, "inside")
        candidates = sorted(h for h in shuttable if h in hoses and self.hoses[h][0] in near)
        if math.comb(len(candidates), size) > MOST_TRIES:
            return None
        sets = []
        for tried in itertools.combinations(candidates, size):
            ends = [(*self.hoses[hose][:2], hose) for hose in tried]
            graph.remove_edges_from(ends)
            if "outside" not in graph or not nx.has_path(graph, "inside", "outside"):
                sets.append(tried)
            graph.add_edges_from(ends)
        return sets

    def answer_cuts(self, kind, hoses, shuttable, out):
        size = self.fewest(hoses, shuttable)
        if size is None:
            print(kind, "none", file=out)
            return
        sets = self.all_sets(hoses, shuttable, size)
        print(kind, size, "unlisted" if sets is None else len(sets), file=out)
        for each in sets or []:
            print("set", *each, file=out)

    def answer(self, out):
        with_valve = {hose for hose in self.hoses if self.hoses[hose][2]}
        self.answer_cuts("shut", self.joined, with_valve, out)
        bare = self.joined - with_valve
        self.answer_cuts("fit", bare, bare, out)

        graph = self.graph(self.open)
        tanks = set(self.tanks)
        bridges, parting = [], []
        for a, b in nx.bridges(graph):
            (key,) = graph[a][b]
            if isinstance(key, tuple):
                continue
            bridges.append(key)
            without = graph.copy()
            without.remove_edge(a, b, key)
            if all(tanks & nx.node_connected_component(without, end) for end in (a, b)):
                parting.append(key)
        print("bridges", *sorted(bridges), file=out)
        print("parting", *sorted(parting), file=out)
        print("places", *sorted(nx.articulation_points(graph)), file=out)
        for hose, (a, b, _) in sorted(self.hoses.items()):
            others = self.graph(self.open - {hose})
            for name, end, loose in (("from", a, b), ("to", b, a)):
                drained = nx.node_connected_component(others, end)
                if hose in self.open:
                    drained = drained | nx.node_connected_component(others, loose)
                print("off", hose, name, *sorted(tanks & drained), file=out)
        print("end", file=out)


def main():
    yard = Yard()
    with open(sys.argv[1]) as yards, open(sys.argv[2], "w") as out:
        for line in yards:
            words = line.split()
            if words != ["end"]:
                yard.read(words)
                continue
            yard.answer(out)
            yard = Yard()


main()
