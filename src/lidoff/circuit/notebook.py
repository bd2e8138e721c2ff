"""How results show themselves in a notebook: tables, frames and plots. pandas and matplotlib are used if they are there."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from typing import TYPE_CHECKING, Any

from lidoff.circuit.kind import Array
from lidoff.quantities import Quantity, format_quantity

if TYPE_CHECKING:
    from lidoff.circuit.solution import Solution
    from lidoff.circuit.waveform import Waveforms

__all__ = ["solution_frame", "solution_table", "waveform_frame", "waveform_plot"]

MOST_COLUMNS = 8


def _told(value: float, unit: str) -> str:
    return format_quantity(Quantity(value, unit))


def solution_table(solution: Solution) -> str:
    """HTML tables of net voltages and part currents, the first few samples side by side."""
    samples = range(min(solution.samples, MOST_COLUMNS))
    heads = "".join(f"<th scope='col'>{escape(solution.labels[s])}</th>" for s in samples)
    more = (
        f"<p>and {solution.samples - MOST_COLUMNS} more samples</p>"
        if solution.samples > MOST_COLUMNS
        else ""
    )

    def row(name: str, values: Array, unit: str) -> str:
        cells = "".join(
            f"<td>{escape(_told(float(values[s]), unit)) if solution.settled[s] else 'did not settle'}</td>"
            for s in samples
        )
        return f"<tr><th scope='row'>{escape(name)}</th>{cells}</tr>"

    nets = "".join(row(net, solution.voltage(net), "V") for net in solution.circuit.nets)
    parts = "".join(
        row(part.reference, solution.current(part.reference), "A")
        for part in solution.circuit.parts
        if solution.has_path(part.reference)
    )
    return (
        f"<table><caption>Net voltages</caption><tr><th scope='col'>net</th>{heads}</tr>{nets}</table>"
        f"<table><caption>Part currents</caption><tr><th scope='col'>part</th>{heads}</tr>{parts}</table>{more}"
    )


def solution_frame(solution: Solution) -> Any:
    """Return a pandas frame: one row a sample, columns ``("voltage", net)``, ``("current", part)``, ``("power", part)``.

    Raises
    ------
    ModuleNotFoundError
        pandas is not installed.
    """
    import pandas

    columns: dict[tuple[str, str], Array] = {}
    for net in solution.circuit.nets:
        columns["voltage", net] = solution.voltage(net)
    for part in solution.circuit.parts:
        if solution.has_path(part.reference):
            columns["current", part.reference] = solution.current(part.reference)
    for part in solution.circuit.parts:
        columns["power", part.reference] = solution.power(part.reference)
    frame = pandas.DataFrame(columns, index=pandas.Index(solution.labels, name="sample"))
    return frame.where(pandas.Series(solution.settled, index=frame.index), axis=0)


def waveform_frame(waveforms: Waveforms) -> Any:
    """Return a pandas frame: one row an instant, columns ``("voltage", net)`` and ``("current", part)``, times in s.

    Raises
    ------
    ModuleNotFoundError
        pandas is not installed.
    """
    import pandas

    columns: dict[tuple[str, str], Array] = {
        ("voltage", net): waveforms.voltage(net) for net in waveforms.circuit.nets
    }
    for part in waveforms.circuit.parts:
        if waveforms.has_path(part.reference):
            columns["current", part.reference] = waveforms.current(part.reference)
    return pandas.DataFrame(columns, index=pandas.Index(waveforms.times, name="time [s]"))


def waveform_plot(waveforms: Waveforms, names: Sequence[str], axes: Any = None) -> Any:
    """Plot nets (voltages) and parts (currents) over time; return the matplotlib axes.

    Parameters
    ----------
    waveforms : Waveforms
    names : sequence of str
        Nets, or references of parts. Voltages are drawn against the left scale, currents against the right.
    axes : matplotlib axes, optional
        Where to draw; new ones if None.

    Raises
    ------
    ModuleNotFoundError
        matplotlib is not installed.
    """
    from matplotlib import pyplot

    left = axes if axes is not None else pyplot.subplots()[1]
    nets = [name for name in names if name in waveforms.circuit.nets]
    parts = [name for name in names if name not in nets]
    for net in nets:
        left.plot(waveforms.times, waveforms.voltage(net), label=net)
    left.set_xlabel("time [s]")
    left.set_ylabel("voltage [V]")
    if parts:
        right = left.twinx()
        for reference in parts:
            right.plot(
                waveforms.times, waveforms.current(reference), linestyle="--", label=f"current of {reference}"
            )
        right.set_ylabel("current [A]")
        right.legend(loc="upper right")
    if nets:
        left.legend(loc="upper left")
    return left
