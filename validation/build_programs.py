"""Builds Thawline together with programs of this folder."""

import pathlib
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent


def build(folder, targets, packages="validation/packages"):
    """Configures `folder` and builds `targets` there. When that fails it ends the program with the end
    of what the compiler said and the files that list the `packages` needed."""
    configure = ["cmake", "-S", HERE.parent, "-B", folder, "-DTHAWLINE_TESTS=OFF", "-DCMAKE_BUILD_TYPE=Release",
                 f"-DCMAKE_PROJECT_thawline_INCLUDE={HERE / 'hook.cmake'}"]
    for command in (configure, ["cmake", "--build", folder, "-j2", "--target", *targets]):
        done = subprocess.run(command, capture_output=True, text=True)
        if done.returncode:
            sys.exit(done.stdout[-3000:] + done.stderr[-3000:] + f"\n(packages: {packages})")
