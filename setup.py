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
# a multiplication and an addition are two roundings on every processor, so that all find the same
FLAGS = [] if sys.platform == "win32" else ["-O3", "-g0", "-ffp-contract=off"]


def compiler_stands_here() -> bool:
    named = os.environ.get("CC") or sysconfig.get_config_var("CC") or "cc"
    return sys.platform == "win32" or any(map(shutil.which, (named.split()[0], "cc")))


class BuildLoops(build_ext):
    def finalize_options(self) -> None:
        super().finalize_options()
        self.parallel = self.parallel or os.cpu_count()

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


here = compiler_stands_here()
if not here:
    fetched_compiler()
loops = map(extension, sorted(Path("areacalc").rglob("*_loops.pxd")))
shared = Extension(SHARED, ["areacalc/_shared.c"], extra_compile_args=FLAGS, optional=True)
setup(
    cmdclass={"build_ext": BuildLoops},
    ext_modules=[*loops, shared],
    setup_requires=[] if here else ["ziglang; sys_platform == 'linux'"],
)
