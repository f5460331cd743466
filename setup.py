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


def compiler_stands_here() -> bool:
    named = os.environ.get("CC") or sysconfig.get_config_var("CC") or "cc"
    return sys.platform == "win32" or any(map(shutil.which, (named.split()[0], "cc")))


class BuildLoops(build_ext):
    def finalize_options(self) -> None:
        super().finalize_options()
        self.parallel = self.parallel or os.cpu_count()

    def get_ext_filename(self, fullname: str) -> str:
        *room, name = fullname.split(".")
        return os.path.join(*room, STAND_INS[name]) if name in STAND_INS else super().get_ext_filename(fullname)

    def build_extensions(self) -> None:
        from Cython.Build import cythonize

        made = cythonize(
            self.extensions, build_dir=self.build_temp, shared_utility_qualified_name=SHARED,
            compiler_directives=DIRECTIVES, quiet=True,
        )  # fmt: skip
        for extension, told in zip(self.extensions, made, strict=True):
            extension.sources = told.sources
        super().build_extensions()


def fetched_compiler() -> None:
    """Let the build use the compiler of the ziglang wheel, for any processor of this kind."""
    command = f"{sys.executable} -m ziglang cc -mcpu=baseline"
    os.environ |= {"CC": command, "LDSHARED": f"{command} -shared"}
    os.environ.setdefault("ZIG_GLOBAL_CACHE_DIR", str(Path("build/zig").absolute()))


def extension(kinds: Path) -> Extension:
    source, name = kinds.with_suffix(".py"), ".".join(kinds.with_suffix("").parts)
    return Extension(name, [str(source)], depends=[str(kinds)], extra_compile_args=FLAGS, optional=True)


def stand_in(name: str, library: str) -> Extension:
    flags = {"extra_compile_args": ["-w"], "extra_link_args": [f"-Wl,-soname,{library}"]}
    return Extension(f"areacalc.shape.step.{name}", [f"areacalc/shape/step/{name}.c"], **flags, optional=True)


here = compiler_stands_here()
if not here:
    fetched_compiler()
extensions = [extension(kinds) for kinds in sorted(Path("areacalc").rglob("*_loops.pxd"))]
extensions.append(Extension(SHARED, ["areacalc/_shared.c"], extra_compile_args=FLAGS, optional=True))
extensions += [stand_in(name, library) for name, library in STAND_INS.items()]
setup(
    cmdclass={"build_ext": BuildLoops},
    ext_modules=extensions,
    setup_requires=[] if here else ["ziglang; sys_platform == 'linux'"],
)
