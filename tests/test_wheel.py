"""An installed wheel, away from the checkout, does the main job with its own specs."""

import os
import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_a_wheel_outside_the_checkout_runs_the_main_job(tmp_path):
    """Built without the network; installed by unpacking, as an installer does."""
    built = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", str(ROOT), "--no-deps", "--no-build-isolation",
         "--no-index", "--quiet", "--wheel-dir", str(tmp_path)],
        capture_output=True, text=True,
    )  # fmt: skip
    assert built.returncode == 0, built.stderr
    (wheel,) = tmp_path.glob("itembank-*.whl")
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as z:
        z.extractall(site)

    code = (
        "import itembank, sys\n"
        f"assert itembank.__file__.startswith({str(site)!r}), itembank.__file__\n"
        "from itembank.cli import main\n"
        "main(['make', 'lifting-homework', '--term', '2027-spring', '--out', 'packages'])"
    )
    done = subprocess.run(
        [sys.executable, "-P", "-c", code],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(site)},
        capture_output=True,
        text=True,
    )

    assert done.returncode == 0, done.stderr
    assert sorted(p.name for p in (tmp_path / "packages").iterdir()) == [
        "lifting-homework-2027-spring-cc13.zip",
        "lifting-homework-2027-spring-load-card.html",
        "lifting-homework-2027-spring-qti21.zip",
    ]
