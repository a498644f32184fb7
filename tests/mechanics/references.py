"""Independent ways to the same numbers: finite elements, quadrature, boundary-value problems."""

from itertools import pairwise

import numpy as np
from scipy.integrate import quad, solve_bvp
from scipy.optimize import brentq


def beam_by_finite_elements(nodes_m, supports_m, load, stiffness=lambda x: 1.0):
    """Moments over the supports and reactions of a beam of Hermite elements under `load(x)` in N/m."""
    count = len(nodes_m)
    matrix, force = np.zeros((2 * count, 2 * count)), np.zeros(2 * count)
    elements = []
    for i, (left, right) in enumerate(pairwise(nodes_m)):
        h = right - left
        local = stiffness((left + right) / 2) / h**3 * _BEAM(h)
        pushed = _nodal_load(load, left, h)
        elements.append((local, pushed))
        matrix[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += local
        force[2 * i : 2 * i + 4] += pushed
    held = [2 * int(np.argmin(abs(np.asarray(nodes_m) - at))) for at in supports_m]
    free = [i for i in range(2 * count) if i not in held]
    moved = np.zeros(2 * count)
    moved[free] = np.linalg.solve(matrix[np.ix_(free, free)], force[free])
    reactions = (matrix @ moved - force)[held]
    moments = []
    for dof in held:
        i = dof // 2
        if i < len(elements):
            local, pushed = elements[i]
            moments.append((local @ moved[2 * i : 2 * i + 4] - pushed)[1])
        else:
            local, pushed = elements[i - 1]
            moments.append(-(local @ moved[2 * i - 2 : 2 * i + 2] - pushed)[3])
    return np.array(moments), -reactions


def _BEAM(h):
    return np.array(
        [
            [12, 6 * h, -12, 6 * h],
            [6 * h, 4 * h * h, -6 * h, 2 * h * h],
            [-12, -6 * h, 12, -6 * h],
            [6 * h, 2 * h * h, -6 * h, 4 * h * h],
        ]
    )


_GAUSS, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def _nodal_load(load, left, h):
    pushed = np.zeros(4)
    for point, weight in zip(_GAUSS, _WEIGHTS, strict=True):
        t = (point + 1) / 2
        shapes = (
            1 - 3 * t**2 + 2 * t**3,
            h * (t - 2 * t**2 + t**3),
            3 * t**2 - 2 * t**3,
            h * (t**3 - t**2),
        )
        pushed += weight / 2 * h * load(left + t * h) * np.array(shapes)
    return pushed


def elliptical_load(lift_n, half_span_m):
    """Lift in N/m at y, spread as an ellipse."""
    return lambda y: 2 * lift_n / (np.pi * half_span_m) * np.sqrt(np.maximum(0.0, 1 - (y / half_span_m) ** 2))


def elliptical_moment_by_quadrature(station, lift_n, half_span_m):
    load = elliptical_load(lift_n, half_span_m)
    here = station * half_span_m
    return quad(lambda y: load(y) * (y - here), here, half_span_m)[0]


def bent_ring(moment_nm, pressure_pa, radius_m):
    """Highest tension in N/m and slack half angle of a ring of cloth that cannot push, plane after bending.

    Solves strain = a - b cos(phi), tension = max(0, strain), for the end force and the moment.
    """
    pieces = 4000
    phi, weights = (np.arange(pieces) + 0.5) * np.pi / pieces, np.full(pieces, np.pi / pieces)
    force = pressure_pa * np.pi * radius_m**2

    def tension(bend):
        def excess(mean):
            return 2 * radius_m * np.sum(weights * np.maximum(0, mean - bend * np.cos(phi))) - force

        mean = brentq(excess, -bend, force / radius_m)
        return mean, np.maximum(0, mean - bend * np.cos(phi))

    def moment(bend):
        return -2 * radius_m**2 * np.sum(weights * tension(bend)[1] * np.cos(phi))

    bend = brentq(lambda b: moment(b) - moment_nm, 1e-9, 1e4 * force)
    mean, _ = tension(bend)
    return mean + bend, float(np.arccos(np.clip(mean / bend, -1, 1)))


def lap_by_boundary_value(tension, overlap, modulus, thickness, stiff_a, stiff_b):
    """Shear stresses in Pa at both ends of a glued lap, from the equilibrium of its two cloths."""
    grip = modulus / thickness * overlap**2

    def slopes(x, y):
        share_a, stress = y
        return np.vstack([-stress, grip * ((1 - share_a) / stiff_b - share_a / stiff_a)])

    x = np.linspace(0, 1, 400)
    start = np.vstack([1 - x, np.ones_like(x)])
    solved = solve_bvp(slopes, lambda a, b: np.array([a[0] - 1, b[0]]), x, start, tol=1e-8, max_nodes=50000)
    assert solved.success
    return solved.y[1][[0, -1]] * tension / overlap


def hedgepeth_by_influence(broken):
    """Load of the first sound filament beside `broken` cut ones, by influence coefficients."""

    def influence(m):
        return 4 / (np.pi * (4 * m * m - 1))

    places = np.arange(broken)
    matrix = influence(places[:, None] - places[None, :])
    opening = np.linalg.solve(matrix, -np.ones(broken))
    return 1 + influence(broken - places) @ opening
