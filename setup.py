"""What pyproject.toml cannot say: the loops are compiled when areacalc is installed.

Every `*_loops.py` becomes an extension module beside it, its kinds told by the `.pxd` of the same name. Without a C
compiler one is fetched as a wheel; where that does not serve either, the modules run as the plain Python they are.
"""

import os
import shutil
import sys
import sysconfig
from pathlib import Path

from setuptools import Extension, setup
from setuptools.command.build_ext import build_ext
from setuptools.command.sdist import sdist
from setuptools.errors import BaseError, CompileError, LinkError

SHARED = "areacalc._shared"  # what all of them need of Cython's, compiled once
DIRECTIVES = {
    "language_level": 3, "infer_types": True, "annotation_typing": False, "boundscheck": False, "wraparound": False,
    "cdivision": True, "initializedcheck": False,
}  # fmt: skip
if os.environ.get("AREACALC_CHECK_LOOPS"):
    DIRECTIVES |= {"boundscheck": True, "initializedcheck": True}
# what the CAD kernel's viewer is linked with, for machines without a display: areacalc/shape/step/display.py
STAND_INS = {"no_gl": "libGL.so.1", "no_x11": "libX11.so.6"} if sys.platform == "linux" else {}
# a multiplication and an addition are two roundings on every processor, so that all find the same
FLAGS = [] if sys.platform == "win32" else ["-O3", "-g0", "-ffp-contract=off"]


class Sources(sdist):
    """All that a checkout holds, tests and samples too."""

    def make_release_tree(self, base_dir: str, files: list[str]) -> None:
        more = [
            file
            for room in ("areacalc/docs", "sample_models", "tests", ".ci")
            for file in Path(room).rglob("*")
            if file.is_file()
        ]
        kept = [str(file) for file in more if not {"__pycache__", "node_modules"} & set(file.parts)]
        super().make_release_tree(base_dir, sorted({*files, *kept, "BENCHMARKS.md", "CHANGELOG.md", "DEVELOPERS.md"}))


class BuildLoops(build_ext):
    def finalize_options(self) -> None:
        super().finalize_options()
        self.parallel = self.parallel or os.cpu_count()

    def get_ext_filename(self, fullname: str) -> str:
        *room, name = fullname.split(".")
        return os.path.join(*room, STAND_INS[name]) if name in STAND_INS else super().get_ext_filename(fullname)

    def build_extensions(self) -> None:
        from Cython.Build import cythonize

        os.environ.setdefault("ZIG_GLOBAL_CACHE_DIR", os.path.abspath(self.build_temp))
        made = cythonize(
            self.extensions, build_dir=self.build_temp, shared_utility_qualified_name=SHARED,
            compiler_directives=DIRECTIVES, quiet=True,
        )  # fmt: skip
        for extension, told in zip(self.extensions, made, strict=True):
            extension.sources = told.sources
        try:
            super().build_extensions()
        except (BaseError, CompileError, LinkError) as failure:  # all or none: a loop alone would miss what is shared
            self.warn(f"the loops stay plain Python, which is slow: {failure}")
            for extension in self.extensions:
                Path(self.get_ext_fullpath(extension.name)).unlink(missing_ok=True)
            self.extensions = []


def choose_compiler() -> list[str]:
    """Let the build use the compiler Python was built with, or any other; what must be fetched if there is none."""
    own = (os.environ.get("CC") or sysconfig.get_config_var("CC") or "cc").split()[0]
    if sys.platform == "win32" or shutil.which(own):
        return []
    # the wheel's makes code for any processor of this kind, as others do of themselves
    command = "cc" if shutil.which("cc") else f"{sys.executable} -m ziglang cc -mcpu=baseline"
    os.environ |= {"CC": command, "LDSHARED": f"{command} -shared"}
    return [] if command == "cc" else ["ziglang; sys_platform == 'linux'"]


def extension(kinds: Path) -> Extension:
    source, name = kinds.with_suffix(".py"), ".".join(kinds.with_suffix("").parts)
    return Extension(name, [str(source)], depends=[str(kinds)], extra_compile_args=FLAGS)


def stand_in(name: str, library: str) -> Extension:
    flags = {"extra_compile_args": ["-w"], "extra_link_args": [f"-Wl,-soname,{library}"]}
    return Extension(f"areacalc.shape.step.{name}", [f"areacalc/shape/step/{name}.c"], **flags)


extensions = [Extension(SHARED, ["areacalc/_shared.c"], extra_compile_args=["-O1", "-g0"])]  # the longest
extensions += [extension(kinds) for kinds in sorted(Path("areacalc").rglob("*_loops.pxd"))]
extensions += [stand_in(name, library) for name, library in STAND_INS.items()]
setup(
    cmdclass={"build_ext": BuildLoops, "sdist": Sources},
    ext_modules=extensions,
    setup_requires=choose_compiler(),
)
