"""22. A corner that freezes from both walls: the front slants through the grid."""

import numpy as np

from .corner_front import CornerFront
from .enthalpy_scheme import frozen_share
from .grids import Field, border, lines, section
from .support import ICE, ZERO, Line, Outcome, Row, material

NAME = "Section: freezing of a corner from both its walls"
SOURCE = ("Rathjen & Jiji, J. Heat Transfer 93 (1971) 101: their integral equation, from memory, solved here "
          "by collocation")
INPUTS = ("k, rho, c alike in both phases, walls 20 K below the melting point. Strong: beta = L/(c 20 K) = "
          "0.25, start 6 K above it. Like water: beta 8, start 10 K above it. Even cells, as many as said "
          "from a wall to its front far from the corner, on past the diagonal, then growing; fronts from the "
          "liquid fractions of columns of cells; asked for 0.1 K; lengths in sqrt(4 a t). Ice and water: k "
          "2.2/0.57, c 2050/4200, a square of 50 mm of water at 10 degC, two walls at -20 degC, 15 min")
BAR = ("front 0.5 % on 20 cells, 1 % on 10; published curve 1 %; temperatures 0.1 K; ice and water 0.3 % on "
       "20 cells a side, 0.15 % on 40")
WHY = ("Five times the bar of a plane front: a slanting one is not placed exactly inside its cells. The "
       "published curve is a fit of three constants.")
QUICK = True
SHORT = "Five times the bar of a plane front: a slanting one is not placed exactly in its cells."
PUBLISHED = "Rathjen & Jiji 1971, superhyperbola with C 0.159, m 5.02, wall 0.70766 (from memory)"
LINES = [Line("strong freezing: front", "^strong, (front|wall|diag)", why=SHORT),
         Line("like water: front", "^like water, (front|wall|diag)", why=SHORT),
         Line("published curve of the strong case", "^published", PUBLISHED,
              "Three constants fitted to a front that is no superhyperbola."),
         Line("frozen beyond what each wall alone freezes", "beyond", 
              why="Ten times the bar of the front: a small part of all that is frozen."),
         Line("ice and water, whose phases conduct unlike: frozen share", "^ice and water",
              "explicit enthalpy scheme of its own on 25, 50 and 100 cells a side, extrapolated",
              "What the extrapolation is worth: its last step is 2 %, of first order."),
         Line("temperatures on the diagonal", "T on", why="As for fronts about a line.")]
NOTE = ("The equation is checked where its answer is known: far along a wall it gives Neumann's front and "
        "temperatures to 1e-12, and on the published front of the strong case the temperature it finds is "
        "within 0.4 % of the melting point. The bars of the front were first put to 20 and 40 cells, which "
        "took minutes and met them (worst 0.31 % on 20), and then to half as many; two layers' bar is ten "
        "times the front's. On the diagonal, where the front slants most, its error halves with the cells.")

LENGTH, DIFFUSIVITY, COLD = 0.12, 1e-6, 20.0  # m: sqrt(4 a t) at the end; m2/s; K
FAR = 2.6  # in lengths: a wall's front is flat there, and the start hardly touched
CASES = [("strong", 0.25, 0.3), ("like water", 8.0, 0.5)]
PUBLISHED_C, PUBLISHED_M = 0.159, 5.02


def job_of(front, cells):
    """`cells` from a wall to its front far from the corner."""
    h = LENGTH * front.wall / cells
    even = int(np.ceil(1.6 * front.diagonal / front.wall * cells))
    side = lines(0, (even * h, even), (FAR * LENGTH, h, 0.15 * LENGTH, 1.2, 0.15 * LENGTH))
    k, rho = 1.0, 1000.0
    c = k / rho / DIFFUSIVITY
    water = material(k, rho, c, k_liquid=k, c_liquid=c, melts_at=ZERO, latent=front.beta * c * COLD)
    walls = {"low x": border("ground"), "low z": border("ground")}
    return section(side, side, [water], walls, start=ZERO + front.far * COLD, ground=ZERO - COLD,
                   times=[LENGTH**2 / 4 / DIFFUSIVITY], accuracy=0.1)


class Found:
    """What a run says, in units of sqrt(4 a t)."""

    def __init__(self, job, answer):
        shot = answer["shots"][0]
        self.solid = Field(job, 1 - np.array(shot["liquid_fraction"]))
        self.heat = Field(job, np.array(shot["temperature"]) - ZERO)
        self.x = self.solid.xm / LENGTH
        self.height = self.solid.values.T @ np.diff(self.solid.z) / LENGTH  # of the solid, by column

    def front(self, x):
        return float(np.interp(x, self.x, self.height))

    def diagonal(self):
        over = self.height - self.x
        i = int(np.argmax(over < 0)) - 1
        return float(self.x[i] + (self.x[i + 1] - self.x[i]) * over[i] / (over[i] - over[i + 1]))

    def beyond(self, wall):
        """Area frozen beyond two layers of the depth `wall`."""
        side = self.solid.x[-1] / LENGTH
        frozen = np.sum(self.height * np.diff(self.solid.x)) / LENGTH
        return float(frozen - side**2 + (side - wall)**2)

    def on_diagonal(self, x):
        own = np.diagonal(self.heat.values)
        return float(np.interp(x, self.x, own))


def exact_beyond(front):
    x = np.linspace(front.diagonal, FAR, 4001)
    return (front.diagonal - front.wall)**2 + 2 * np.trapz(front.front(x) - front.wall, x)


def published(x, wall):
    return (wall**PUBLISHED_M + PUBLISHED_C / (x**PUBLISHED_M - wall**PUBLISHED_M))**(1 / PUBLISHED_M)


def ice_and_water_rows(tools):
    explicit = [frozen_share(ICE, 0.05, n, -20.0, 10.0, 900.0) for n in (25, 50, 100)]
    limit = 2 * explicit[2] - explicit[1]
    rows = [Row("ice and water, order of the explicit scheme", 1.0,
                float(np.log2((explicit[1] - explicit[0]) / (explicit[2] - explicit[1]))), "absolute", 0.2)]
    walls = {"low x": border("ground"), "low z": border("ground")}
    sizes = (20, 40)
    jobs = [section(lines(0, (0.05, n)), lines(0, (0.05, n)), [ICE], walls, start=ZERO + 10, ground=ZERO - 20,
                    times=[900.0], accuracy=0.05) for n in sizes]
    for n, answer, bar in zip(sizes, tools.sections(jobs), (3e-3, 1.5e-3)):
        share = 1 - float(np.mean(answer["shots"][0]["liquid_fraction"]))
        rows.append(Row(f"ice and water, frozen share, {n} cells a side", limit, share, "relative", bar))
    return rows


def run(tools):
    sizes = (10,) if tools.quick else (10, 20)
    cases = CASES[:1] if tools.quick else CASES
    fronts = [CornerFront(beta, far, 12) for _, beta, far in cases]
    picks = [(case, front, n) for case, front in zip(cases, fronts) for n in sizes]
    jobs = [job_of(front, n) for _, front, n in picks]
    rows, seen = [], []
    for ((name, *_), front, n), job, answer in zip(picks, jobs, tools.sections(jobs)):
        found = Found(job, answer)
        bar, d = 0.01 if n == 10 else 0.005, front.diagonal
        rows.append(Row(f"{name}, diagonal, {n} cells", d, found.diagonal(), "relative", bar))
        for times in (1.2, 1.6, 2.4):
            x = times * d
            rows.append(Row(f"{name}, front over {x:.3f}, {n} cells", front.height(x), found.front(x), "relative", bar))
        rows.append(Row(f"{name}, wall's front far off, {n} cells", front.wall, found.front(2.3), "relative", bar))
        rows.append(Row(f"{name}, frozen beyond two layers, {n} cells", exact_beyond(front), found.beyond(front.wall),
                        "relative", 10 * bar))
        for share in (0.5, 1.5):
            rows.append(Row(f"{name}, T on the diagonal at {share * d:.3f}, {n} cells",
                            COLD * front.temperature(share * d, share * d), found.on_diagonal(share * d), "absolute",
                            0.1, "K"))
        if name == "strong" and n == sizes[-1]:
            corner = (front.wall**PUBLISHED_M + PUBLISHED_C**0.5)**(1 / PUBLISHED_M)
            rows.append(Row(f"published, diagonal, {n} cells", corner, found.diagonal(), "relative", 0.01))
            for x in (1.0, 1.2, 1.5, 2.0):
                rows.append(Row(f"published, front over {x:g}, {n} cells", published(x, front.wall), found.front(x),
                                "relative", 0.01))
        seen.append((name, front, n, found))
    if not tools.quick:
        rows += ice_and_water_rows(tools)

    def draw(ax):
        for (name, front, n, found), colour in zip([s for s in seen if s[2] == sizes[-1]], ("C0", "C1")):
            x = np.linspace(front.diagonal, 2.2, 200)
            y = front.front(x)
            ax.plot(np.append(y[::-1], x), np.append(x[::-1], y), color=colour, lw=1, label=f"{name}: integral equation")
            there = (found.x > front.diagonal) & (found.x < 2.2)
            ax.plot(found.x[there], found.height[there], "o", ms=3, color=colour, label=f"{name}: ours, {n} "
                                                                                        f"cells")
        x = np.linspace(0.9, 2.2, 30)
        ax.plot(published(x, fronts[0].wall), x, "kx", ms=4, label="strong: published curve, from memory")
        ax.plot([0, 1.2], [0, 1.2], "k:", lw=0.7)
        ax.set(xlim=(0, 2.2), ylim=(0, 1.3), xlabel="x / √(4 a t), walls on the left and below",
               ylabel="y / √(4 a t)", title="Front in a corner that freezes from both walls")
        ax.legend(fontsize=8)
    return Outcome(rows, draw)
