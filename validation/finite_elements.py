#!/usr/bin/python3
"""A round section by finite elements (dolfinx), to compare `detail: 2d` with. Shares no code with the
project: reads the case's YAML with its own few words for units, makes its own mesh, marches with its
own scheme.

Standard input: {"case": path, "points": [[r, z], ...] (m; z from the floor inside), "times": [s],
"fineness": n, "longest_step": s}. Standard output: {"air": [K], "mean": {pack: [K]}, "points": [[K by time], ...],
"liquid": {pack: [share]}, "unknowns", "steps"}.

What is solved: rho c dT/dt = div(k grad T) with the volume 2 pi r dr dz, walls whose layers run round the
corners, packs as bodies of their own that touch the walls through a contact coefficient, biquadratic
elements. The air is one temperature, joined to every free face by one film; long-wave exchange between
the bare walls is linear, about 283 K, through one radiant temperature. A pack's heat per mass is

    h(T) = c_s (T - T_s), then with f = (T - T_s)/(T_l - T_s):  c_s (T - T_s) + (c_l - c_s)(T - T_s) f/2
           + L f, then c_l (T - T_l) more,       k = (1 - f) k_s + f k_l.

In time: SDIRK of two stages, second order, L-stable (Alexander 1977), Newton to 1e-5 K, steps growing from a
second. Sparse LU of SciPy.
"""

import json
import re
import sys

import numpy as np
import scipy.sparse as sp
import yaml
from scipy.sparse.linalg import splu

UNITS = {"cm": 1e-2, "mm": 1e-3, "m": 1.0, "kg": 1.0, "kg/m3": 1.0, "J/kg/K": 1.0, "kJ/kg": 1e3, "W/m/K": 1.0,
         "W/m2/K": 1.0, "h": 3600.0, "min": 60.0, "K": 1.0}
ABOVE_ICE = 273.15
AIR = 1.247 * 1006  # J/m3/K, of 10 degC
RADIANT = 4 * 5.670374419e-8 * 283.0**3  # W/m2/K of black faces


def value(text):
    """SI; temperatures in K."""
    number, unit = re.fullmatch(r"([-0-9.e]+) (\S+)", str(text)).groups()
    return float(number) + ABOVE_ICE if unit == "degC" else float(number) * UNITS[unit]


class Case:
    def __init__(self, path):
        with open(path) as file:
            y = yaml.safe_load(file)
        box, around = y["box"], y["surroundings"]
        self.radius, self.height = value(box["inside"]["diameter"]) / 2, value(box["inside"]["height"])
        self.film, self.emissivity = value(box["inside_coefficient"]), box["inside_emissivity"]
        self.outside = value(around["outside_coefficient"])
        self.below = value(around["stands_on"]["coefficient"]), value(around["stands_on"]["temperature"])
        air = around["air"]
        self.mean, self.swing, self.warmest = (value(air[k]) for k in ("mean", "swing", "warmest_at"))
        stuff = {name: self.material(m) for name, m in y["materials"].items()}
        self.side = [(stuff[l["material"]], value(l["thickness"])) for l in box["wall"]]
        self.lid = [(stuff[l["material"]], value(l["thickness"])) for l in box["lid"]]
        self.packs = []
        for c in y["coolant"]:
            m, thick = stuff[c["material"]], value(c["thickness"])
            reach = np.sqrt(value(c["amount"]) / m["rho"] / thick / np.pi)
            low = 0.0 if c["place"] == "floor" else self.height - thick
            self.packs.append({"name": c["name"], "m": m, "r": reach, "z": (low, low + thick),
                               "touch": 0.0 if c["place"] == "floor" else self.height,
                               "contact": value(c["contact"]["coefficient"]), "start": value(c["start"])})

    @staticmethod
    def material(m):
        def both(entry):
            return [value(e["value"]) for e in ((entry["solid"], entry["liquid"]) if "solid" in entry else (entry, entry))]
        found = {"rho": value(m["density"]["value"])}
        found["c"], found["k"] = both(m["heat_capacity"]), both(m["conductivity"])
        if "melting" in m:
            found.update({k: value(m["melting"][k]["value"]) for k in ("solidus", "liquidus", "latent_heat")})
        return found

    def ambient(self, t):
        return self.mean + self.swing * np.cos(2 * np.pi * (t - self.warmest) / 86400)


def cut(marks, widest, finest, melting, small):
    """Lines through all marks, `finest` apart beside every mark and at most `widest`; at most `small` where
    a stretch of `melting` is."""
    found = [marks[0]]
    for a, b in zip(marks, marks[1:]):
        most = small if any(low <= a and b <= high for low, high in melting) else widest
        half = [min(finest, most)]
        while sum(half) < (b - a) / 2:
            half.append(min(1.6 * half[-1], most))
        widths = np.array(half + half[::-1])
        found += list(a + np.cumsum(widths * (b - a) / widths.sum())[:-1]) + [b]
    return np.array(found)


class Mesh:
    """Quadrilaterals of the walls and the packs; a pack has points of its own."""

    def __init__(self, case, fineness):
        side, lid = np.cumsum([0] + [d for _, d in case.side]), np.cumsum([0] + [d for _, d in case.lid])
        self.layers = [(case.radius + side[j + 1], -side[j + 1], case.height + lid[j + 1]) for j in range(len(case.side))]
        r = sorted({0.0, case.radius, *(l[0] for l in self.layers), *(p["r"] for p in case.packs)})
        z = sorted({0.0, case.height, *(v for l in self.layers for v in l[1:]), *(v for p in case.packs for v in p["z"])})
        self.r = cut(r, 0.02 / fineness, 0.002 / fineness, [(0.0, max(p["r"] for p in case.packs))], 0.007 / fineness)
        self.z = cut(z, 0.02 / fineness, 0.004 / fineness, [p["z"] for p in case.packs], 0.002 / fineness)
        points, cells, self.body = [], [], []
        known = {}

        def point(body, i, k):
            key = (max(body, -1), i, k)  # layers of a wall share their points
            if key not in known:
                known[key] = len(points)
                points.append([self.r[i], self.z[k]])
            return known[key]
        for k in range(len(self.z) - 1):
            for i in range(len(self.r) - 1):
                body = self.at(case, (self.r[i] + self.r[i + 1]) / 2, (self.z[k] + self.z[k + 1]) / 2)
                if body is None:
                    continue
                cells.append([point(body, i + a, k + b) for b in (0, 1) for a in (0, 1)])
                self.body.append(body)
        self.points, self.cells = np.array(points), np.array(cells)

    def at(self, case, r, z):
        """The pack by its number, a layer of the wall as -1 - layer, None for air."""
        if r < case.radius and 0 < z < case.height:
            for i, p in enumerate(case.packs):
                if r < p["r"] and p["z"][0] < z < p["z"][1]:
                    return i
            return None
        return -1 - next(j for j, (reach, low, high) in enumerate(self.layers) if r < reach and low < z < high)


def to_scipy(matrix):
    matrix.assemble()
    start, column, entry = matrix.getValuesCSR()
    found = sp.csr_matrix((entry, column, start), matrix.getSize())
    matrix.destroy()  # else each one stays in memory
    return found


def to_numpy(vector):
    found = vector.array.copy()
    vector.destroy()
    return found


class Section:
    """The assembled problem. Unknowns: nodes, then air, then the radiant temperature."""

    def __init__(self, case, fineness):
        import dolfinx
        import ufl
        from dolfinx import fem
        from dolfinx.fem.petsc import assemble_matrix
        from mpi4py import MPI
        self.case, self.fem = case, fem
        made = Mesh(case, fineness)
        shape = ufl.Mesh(ufl.VectorElement("Lagrange", "quadrilateral", 1))
        mesh = dolfinx.mesh.create_mesh(MPI.COMM_SELF, made.cells, made.points, shape)
        self.mesh = mesh
        body = np.array(made.body)[mesh.topology.original_cell_index]
        everywhere = np.arange(len(body), dtype=np.int32)
        kind = dolfinx.mesh.meshtags(mesh, 2, everywhere, (body + len(case.side)).astype(np.int32))
        packs = [len(case.side) + i for i in range(len(case.packs))]
        flat = fem.FunctionSpace(mesh, ("DG", 0))
        k, heat = fem.Function(flat), fem.Function(flat)
        wall = [case.side[max(0, -1 - b)][0] if b < 0 else None for b in body]
        k.x.array[:] = [m["k"][0] if m else 0.0 for m in wall]
        heat.x.array[:] = [m["rho"] * m["c"][0] if m else 0.0 for m in wall]
        space = fem.FunctionSpace(mesh, ("Lagrange", 2))
        self.space, u, v = space, ufl.TrialFunction(space), ufl.TestFunction(space)
        r = 2 * np.pi * ufl.SpatialCoordinate(mesh)[0]
        faces = self.facets(mesh, body)
        ds = ufl.Measure("ds", mesh, subdomain_data=faces)
        dx = ufl.Measure("dx", mesh, subdomain_data=kind, metadata={"quadrature_degree": 6})

        def matrix(form):
            return to_scipy(assemble_matrix(fem.form(form)))
        self.capacity = matrix(heat * u * v * r * dx)
        stiff = matrix(k * ufl.inner(ufl.grad(u), ufl.grad(v)) * r * dx)
        n = stiff.shape[0]
        one = np.ones(n)
        free, bare, outer, base = (matrix(u * v * r * ds(tag)) for tag in (FREE, BARE, OUTER, BASE))
        film = case.film * (free + bare)
        glow = case.emissivity * RADIANT * bare
        stiff = stiff + film + glow + case.outside * outer + case.below[0] * base
        place = space.tabulate_dof_coordinates()[:, :2]
        for i, p in enumerate(case.packs):
            touch = p["contact"] * matrix(u * v * r * ds(TOUCH + i))
            stiff = stiff + self.contact(touch, place, mesh, faces, i)
        by_air, by_glow = film @ one, glow @ one
        self.stiff = sp.bmat([[stiff, -by_air[:, None], -by_glow[:, None]],
                              [-by_air[None, :], [[by_air.sum()]], None],
                              [-by_glow[None, :], None, [[by_glow.sum()]]]]).tocsr()
        self.from_air = np.append(case.outside * (outer @ one), [0, 0])
        self.from_base = np.append(case.below[0] * (base @ one), [0, 0])
        room = np.pi * case.radius**2 * case.height - sum(np.pi * p["r"]**2 * (p["z"][1] - p["z"][0]) for p in case.packs)
        self.capacity = sp.block_diag([self.capacity, [[room * AIR]], [[0.0]]]).tocsr()
        self.nodes = n
        # What melts, by forms of T.
        self.t = fem.Function(space)
        t, m = self.t, case.packs[0]["m"]
        width = m["liquidus"] - m["solidus"]
        f = ufl.conditional(ufl.lt(t, m["solidus"]), 0.0, ufl.conditional(
            ufl.gt(t, m["liquidus"]), 1.0, (t - m["solidus"]) / width))
        part = t - m["solidus"] - ufl.conditional(ufl.gt(t, m["liquidus"]), t - m["liquidus"], 0.0)
        part = ufl.conditional(ufl.lt(t, m["solidus"]), 0.0, part)  # of T - T_s that lies in the range
        over = ufl.conditional(ufl.gt(t, m["liquidus"]), t - m["liquidus"], 0.0)
        under = ufl.conditional(ufl.lt(t, m["solidus"]), t - m["solidus"], 0.0)
        c_s, c_l = m["c"]
        h = c_s * (under + part) + (c_l - c_s) * part * f / 2 + m["latent_heat"] * f + c_l * over
        mush = (1 - f) * m["k"][0] + f * m["k"][1]
        melt = dx(tuple(packs))
        stored, flow = m["rho"] * h * v * r * melt, mush * ufl.inner(ufl.grad(t), ufl.grad(v)) * r * melt
        self.stored, self.flow = fem.form(stored), fem.form(flow)
        self.by_stored, self.by_flow = (fem.form(ufl.derivative(w, t, u)) for w in (stored, flow))
        self.means = []
        for tag in packs:
            weight = to_numpy(fem.petsc.assemble_vector(fem.form(v * r * dx(tag))))
            self.means.append(weight / weight.sum())
        self.fractions = [fem.form(f * r * dx(tag)) for tag in packs]
        self.sizes = [fem.assemble_scalar(fem.form(1.0 * r * dx(tag))) for tag in packs]
        self.start = np.full(n + 2, case.ambient(0.0))
        for i, p in enumerate(case.packs):
            cells = np.flatnonzero(body == i)
            self.start[np.unique(space.dofmap.list.array.reshape(len(body), -1)[cells])] = p["start"]

    def facets(self, mesh, body):
        """Outer edges of the mesh by what they meet."""
        import dolfinx
        mesh.topology.create_connectivity(1, 2)
        edges = dolfinx.mesh.exterior_facet_indices(mesh.topology)
        middle = dolfinx.mesh.compute_midpoints(mesh, 1, edges)
        to_cell = mesh.topology.connectivity(1, 2)
        case, tags = self.case, []
        for e, (r, z, _) in zip(edges, middle):
            own = body[to_cell.links(e)[0]]
            touching = [i for i, p in enumerate(case.packs) if abs(z - p["touch"]) < 1e-9 and r < p["r"]]
            if r < 1e-9:
                tags.append(AXIS)
            elif own >= 0:
                tags.append(TOUCH_PACK + own if touching else FREE)
            elif touching:
                tags.append(TOUCH + touching[0])
            elif r < case.radius + 1e-9 and -1e-9 < z < case.height + 1e-9:
                tags.append(BARE)
            else:
                tags.append(BASE if z < -sum(d for _, d in case.side) + 1e-9 else OUTER)
        order = np.argsort(edges)
        return dolfinx.mesh.meshtags(mesh, 1, edges[order], np.array(tags, np.int32)[order])

    def contact(self, touch, place, mesh, faces, i):
        """Flow by the difference of the two sides, whose nodes lie at the same places."""
        wall, pack = (self.fem.locate_dofs_topological(self.space, 1, faces.find(tag))
                      for tag in (TOUCH + i, TOUCH_PACK + i))
        pairs = [(w, pack[np.argmin(np.abs(place[pack, 0] - place[w, 0]))]) for w in wall]
        w, p = np.array(pairs).T
        if np.abs(place[w] - place[p]).max() > 1e-9 or len(set(p)) != len(p):
            raise RuntimeError("the two sides of a contact do not fit")
        n = touch.shape[0]
        jump = (sp.csr_matrix((np.ones(len(w)), (w, w)), (n, n)) - sp.csr_matrix((np.ones(len(w)), (w, p)), (n, n)))
        return jump.T @ touch @ jump

    def heat(self, t):
        """J at every node, and its derivative."""
        from dolfinx.fem.petsc import assemble_matrix, assemble_vector
        self.t.x.array[:] = t[:self.nodes]
        held = np.append(to_numpy(assemble_vector(self.stored)), [0, 0])
        slope = sp.block_diag([to_scipy(assemble_matrix(self.by_stored)), sp.csr_matrix((2, 2))])
        return self.capacity @ t + held, self.capacity + slope

    def inflow(self, t, time):
        """W into every node, and minus its derivative."""
        from dolfinx.fem.petsc import assemble_matrix, assemble_vector
        self.t.x.array[:] = t[:self.nodes]
        within = np.append(to_numpy(assemble_vector(self.flow)), [0, 0])
        slope = sp.block_diag([to_scipy(assemble_matrix(self.by_flow)), sp.csr_matrix((2, 2))])
        given = self.from_air * self.case.ambient(time) + self.from_base * self.case.below[1]
        return given - self.stiff @ t - within, self.stiff + slope

    def liquid(self, t):
        self.t.x.array[:] = t[:self.nodes]
        return [self.fem.assemble_scalar(f) / s for f, s in zip(self.fractions, self.sizes)]

    def at_points(self, points):
        """Function that gives the temperatures at the points."""
        import dolfinx
        where = np.array([[r, z, 0.0] for r, z in points])
        tree = dolfinx.geometry.BoundingBoxTree(self.mesh, 2)
        near = dolfinx.geometry.compute_collisions(tree, where)
        hit = dolfinx.geometry.compute_colliding_cells(self.mesh, near, where)
        cells = [hit.links(i)[0] for i in range(len(where))]

        def read(t):
            self.t.x.array[:] = t[:self.nodes]
            return self.t.eval(where, cells).ravel()
        return read


AXIS, FREE, BARE, OUTER, BASE, TOUCH, TOUCH_PACK = 1, 2, 3, 4, 5, 10, 20


def stage(section, known, t, time, share):
    """T with heat(T) − share · inflow(T, time) = known, by Newton."""
    for _ in range(40):
        held, slope = section.heat(t)
        flow, against = section.inflow(t, time)
        change = splu((slope + share * against).tocsc(), permc_spec="MMD_AT_PLUS_A").solve(known - held + share * flow)
        t = t + change
        if np.abs(change).max() < 1e-5:
            return t
    raise RuntimeError(f"Newton does not end at {time} s: {np.abs(change).max()} K")


def steps_through(times, longest):
    """Instants from 0 on that land on all times, growing to the longest step from a hundredth of it."""
    found, step = [0.0], longest / 100
    for end in times:
        while found[-1] < end - 1e-6:
            count = max(1, int(np.ceil((end - found[-1]) / step - 1e-9)))
            found.append(found[-1] + (end - found[-1]) / count)
            step = min(1.1 * step, longest)
    return found


def main():
    wanted = json.load(sys.stdin)
    case, fineness = Case(wanted["case"]), wanted["fineness"]
    section = Section(case, fineness)
    read = section.at_points(wanted["points"])
    gamma = 1 - np.sqrt(0.5)
    instants = steps_through([t for t in wanted["times"] if t > 0], wanted["longest_step"])
    t, now, seen = section.start, 0.0, []
    rate = np.zeros_like(t)
    look = set(np.round(wanted["times"], 3))

    def note():
        if round(now, 3) in look:
            seen.append((t[section.nodes], [m @ t[:section.nodes] for m in section.means], section.liquid(t), read(t)))
    note()
    for end in instants[1:]:
        step = end - now
        held, _ = section.heat(t)
        first = stage(section, held, t + gamma * step * rate, now + gamma * step, gamma * step)
        flow, _ = section.inflow(first, now + gamma * step)
        rate = (first - t) / (gamma * step)
        t = stage(section, held + (1 - gamma) * step * flow, first + (1 - gamma) * step * rate, end, gamma * step)
        now = end
        note()
    names = [p["name"] for p in case.packs]
    json.dump({"air": [float(s[0]) for s in seen],
               "mean": {n: [float(s[1][i]) for s in seen] for i, n in enumerate(names)},
               "liquid": {n: [float(s[2][i]) for s in seen] for i, n in enumerate(names)},
               "points": [[float(s[3][i]) for s in seen] for i in range(len(wanted["points"]))],
               "unknowns": section.nodes, "steps": len(instants) - 1}, sys.stdout)


if __name__ == "__main__":
    main()
