"""Lays a graph out: the ELK layered method (EPL-2.0, in ``vendor/elk`` with its licence), run in QuickJS.

One context to a process, in a thread of its own: loading it takes about a second, a layout a fraction of that.
There is no other method to fall back to: where QuickJS is not installed, that is said.
"""

import hashlib
import json
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import cache
from pathlib import Path
from typing import Any

from inventory.errors import DrawingUnavailableError

ELK = Path(__file__).parent / "vendor" / "elk" / "elk.bundled.js"
MOST_SECONDS = 20.0
STACK_BYTES = 4 * 1024 * 1024

# What a browser would bring: a global object, a queue of timers, a console. The timers run while a layout is made.
AROUND = """
globalThis.global = globalThis;
globalThis.timers = [];
globalThis.setTimeout = (work) => { timers.push(work); return 0; };
globalThis.clearTimeout = () => {};
globalThis.console = { log() {}, warn() {}, error() {} };
var module = { exports: {} }, exports = module.exports;
"""
ENTRY = """
var engine = new module.exports(), answer = "", refusal = "";
function layOut(text) {
  answer = ""; refusal = "";
  engine.layout(JSON.parse(text)).then(
    (laid) => { answer = JSON.stringify(laid); },
    (error) => { refusal = String((error && error.message) || error); });
}
function turn() { if (!timers.length) return false; timers.shift()(); return true; }
"""

_thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="layout")


def lay_out(graph: Mapping[str, Any]) -> dict[str, Any]:
    """Return the graph with ``x``, ``y``, ``width``, ``height`` at nodes, ports and labels, and ``sections`` at edges.

    Raises:
        DrawingUnavailableError: QuickJS is not installed, or the graph takes too long.

    Source: the layered method of Sugiyama, Tagawa and Toda, IEEE Transactions SMC 11 (1981), as ELK carries it out.
    """
    return _thread.submit(_run, json.dumps(graph)).result()


def content_hash(graph: Mapping[str, Any]) -> str:
    """Return a digest of what is to be laid out: equal graphs are laid out once."""
    return hashlib.sha256(json.dumps(graph, sort_keys=True).encode()).hexdigest()


def _run(graph: str) -> dict[str, Any]:
    context = _context()
    try:
        context.get("layOut")(graph)
        while context.eval("turn()") or context.execute_pending_job():
            pass
    except _engine().JSException as error:
        _context.cache_clear()  # an interrupted engine may be left half way through
        raise DrawingUnavailableError(f"The wiring could not be laid out: {error}.") from error
    if refusal := context.get("refusal"):
        raise DrawingUnavailableError(f"The wiring could not be laid out: {refusal}.")
    laid: dict[str, Any] = json.loads(context.get("answer"), object_hook=_places)
    return laid


def _places(part: dict[str, Any]) -> dict[str, Any]:
    """Return a part of the answer without what steers the engine, and without its own marks."""
    return {name: value for name, value in part.items() if name != "layoutOptions" and not name.startswith("$")}


@cache
def _context() -> Any:
    context = _engine().Context()
    context.set_max_stack_size(STACK_BYTES)
    context.eval(AROUND)
    context.eval(ELK.read_text(encoding="utf-8"))
    context.eval(ENTRY)
    context.set_time_limit(MOST_SECONDS)
    return context


def _engine() -> Any:
    try:
        import quickjs  # type: ignore[import-untyped]
    except ImportError as error:
        raise DrawingUnavailableError(
            "Wiring is laid out by QuickJS, which is not installed on this machine. Install the requirements again."
        ) from error
    return quickjs
