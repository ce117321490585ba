"""Print the figures of the house: how long modules and functions are, what is documented and typed.

Exit 1 when a module is past 400 lines or a function past 60, or anything public is without a
docstring or an annotation. Run: `uv run python tests/benchmarks/house_figures.py`.
"""

import ast
import sys
from pathlib import Path
from statistics import median, quantiles

LONGEST_MODULE, LONGEST_FUNCTION = 400, 60
Function = ast.FunctionDef | ast.AsyncFunctionDef


def is_public(name: str) -> bool:
    """Whether a name is for others."""
    return not name.startswith("_")


def is_typed(function: Function) -> bool:
    """Whether every parameter but self and the result are annotated."""
    parameters = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    named = [one for one in parameters if one.arg not in {"self", "cls"}]
    return function.returns is not None and all(one.annotation is not None for one in named)


def functions_of(tree: ast.Module) -> list[Function]:
    """Give every function and method."""
    return [node for node in ast.walk(tree) if isinstance(node, Function)]


def public_nodes(tree: ast.Module) -> list[Function | ast.ClassDef]:
    """Give the public classes, functions and methods of a module."""
    found: list[Function | ast.ClassDef] = []
    for node in tree.body:
        if isinstance(node, Function | ast.ClassDef) and is_public(node.name):
            found.append(node)
            if isinstance(node, ast.ClassDef):
                found.extend(n for n in node.body if isinstance(n, Function) and is_public(n.name))
    return found


def main() -> int:
    """Print the figures and give the exit code."""
    lengths: dict[str, int] = {}
    sizes: list[tuple[int, str]] = []
    bare, untyped, public = [], [], 0
    for file in sorted(Path("assistant").rglob("*.py")):
        text = file.read_text(encoding="utf-8")
        tree = ast.parse(text)
        if file.name != "__init__.py":
            lengths[str(file)] = len(text.splitlines())
        for function in functions_of(tree):
            size = (function.end_lineno or function.lineno) - function.lineno + 1
            sizes.append((size, f"{file}:{function.lineno} {function.name}"))
            if not is_typed(function):
                untyped.append(f"{file}:{function.lineno} {function.name}")
        for node in public_nodes(tree):
            public += 1
            if ast.get_docstring(node) is None:
                bare.append(f"{file}:{node.lineno} {node.name}")
    long_modules = [f"{name}: {n} lines" for name, n in lengths.items() if n > LONGEST_MODULE]
    long_functions = [f"{name}: {n} lines" for n, name in sizes if n > LONGEST_FUNCTION]
    plain = [size for size, _ in sizes]
    print(f"modules            {len(lengths)}")
    print(f"median module      {median(lengths.values()):.0f} lines")
    print(f"longest module     {max(lengths.values())} lines")
    print(f"functions          {len(plain)}")
    print(f"median function    {median(plain):.0f} lines")
    print(f"p90 function       {quantiles(plain, n=10)[-1]:.0f} lines")
    print(f"longest function   {max(sizes)[0]} lines ({max(sizes)[1]})")
    print(f"public docstrings  {public - len(bare)} of {public}")
    print(f"typed functions    {len(plain) - len(untyped)} of {len(plain)}")
    wrong = [*long_modules, *long_functions, *bare, *untyped]
    for one in wrong:
        print(f"past the limit: {one}")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
