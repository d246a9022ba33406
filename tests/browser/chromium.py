"""Headless Chromium, driven by the DevTools protocol over a pair of pipes.

Each message is a line of JSON that ends in a null byte; the browser reads from file
descriptor 3 and writes to 4.  A page is clicked and typed in by real input events, at
the place where the element stands on the screen.

Source: Chrome DevTools Protocol, domains Target, Page, Runtime and Input;
--remote-debugging-pipe of Chromium.
"""

import base64
import fcntl
import json
import os
import select
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from types import TracebackType
from typing import Any, Self

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-pipe",
    "--window-size=1000,1400",
)

NUMBERED = """
import os, sys
commands, answers, path, *flags = sys.argv[1:]
os.dup2(int(commands), 3)
os.dup2(int(answers), 4)
os.execv(path, [path, *flags])
"""
"""Gives the two pipes the numbers that the browser expects, and becomes the browser."""

KEYS = {
    "Tab": ("Tab", 9, ""),
    "Enter": ("Enter", 13, "\r"),
    " ": ("Space", 32, " "),
    "ArrowUp": ("ArrowUp", 38, ""),
    "ArrowDown": ("ArrowDown", 40, ""),
}
"""Keys other than letters: where they are, their number, and what they type."""

PATIENCE = 20
"""Seconds until an answer of the browser is given up."""


class BrowserError(AssertionError):
    """What the browser refused, or a script in it threw."""


def executable() -> str | None:
    return shutil.which("chromium")


class Chromium:
    """`with Chromium() as browser: page = browser.page(url)`; a fresh profile each time."""

    def __enter__(self) -> Self:
        path = executable()
        assert path, "chromium is not installed"
        self.profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        commands, self.out = os.pipe()
        self.inn, answers = os.pipe()
        flags = (*FLAGS, f"--user-data-dir={self.profile.name}", "about:blank")
        theirs = [fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in (commands, answers)]
        self.process = subprocess.Popen(
            [sys.executable, "-c", NUMBERED, *map(str, theirs), path, *flags],
            pass_fds=theirs,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for end in (commands, answers, *theirs):
            os.close(end)
        self.number, self.buffer = 0, b""
        self.events: list[dict[str, Any]] = []
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        os.close(self.out)
        os.close(self.inn)
        self.profile.cleanup()

    def call(self, method: str, session: str | None = None, **params: Any) -> dict[str, Any]:
        """Send a command and wait for its result; events on the way are kept."""
        self.number += 1
        message: dict[str, Any] = {"id": self.number, "method": method, "params": params}
        if session:
            message["sessionId"] = session
        data = json.dumps(message).encode() + b"\0"
        while data:
            data = data[os.write(self.out, data) :]
        while True:
            answer = self.message()
            if answer.get("id") == self.number:
                if "error" in answer:
                    raise BrowserError(f"{method}: {answer['error']['message']}")
                result: dict[str, Any] = answer["result"]
                return result
            if answer.get("method", "").startswith("Page."):
                self.events.append(answer)

    def message(self) -> dict[str, Any]:
        while b"\0" not in self.buffer:
            if not select.select([self.inn], [], [], PATIENCE)[0]:
                raise BrowserError(f"chromium: no answer within {PATIENCE} seconds")
            data = os.read(self.inn, 1 << 20)
            if not data:
                raise BrowserError("chromium: ended")
            self.buffer += data
        line, self.buffer = self.buffer.split(b"\0", 1)
        answer: dict[str, Any] = json.loads(line)
        return answer

    def empty(self, *, window: bool) -> "Page":
        """A page on which nothing is open yet, in a window of its own or before all in another."""
        target = self.call("Target.createTarget", url="about:blank", newWindow=window)["targetId"]
        session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        return Page(self, session)

    def page(self, url: str) -> "Page":
        page = self.empty(window=True)
        page.open(url)
        return page


class Page:
    """An open page.  Scripts find elements with `deep(selector)`, through shadow trees too."""

    def __init__(self, browser: Chromium, session: str) -> None:
        self.browser, self.session = browser, session

    def call(self, method: str, **params: Any) -> dict[str, Any]:
        return self.browser.call(method, self.session, **params)

    def open(self, url: str) -> None:
        self.call("Page.navigate", url=url)
        self.wait("document.readyState === 'complete' && window.ready === true")

    def run(self, script: str) -> Any:
        """The value of an expression, awaited if it is a promise."""
        result = self.call(
            "Runtime.evaluate", expression=script, awaitPromise=True, returnByValue=True
        )
        if "exceptionDetails" in result:
            thrown = result["exceptionDetails"]
            raise BrowserError(thrown.get("exception", {}).get("description", thrown["text"]))
        return result["result"].get("value")

    def wait(self, condition: str) -> None:
        """Until the condition holds."""
        end = time.monotonic() + PATIENCE
        while not self.run(f"Boolean({condition})"):
            if time.monotonic() > end:
                raise BrowserError(f"waited {PATIENCE} seconds for: {condition}")
            time.sleep(0.005)

    def reload(self, leave: bool = True) -> str:
        """Load the page anew; which dialog asked first, such as "beforeunload", or "".

        Where the dialog is told not to leave, the page stays as it is.
        """
        self.call("Page.enable")
        self.browser.events.clear()
        self.call("Page.reload")
        asked = ""
        while True:
            while not self.browser.events:
                message = self.browser.message()
                if message.get("method", "").startswith("Page."):
                    self.browser.events.append(message)
            event = self.browser.events.pop(0)
            if event.get("sessionId") != self.session:
                continue
            if event["method"] == "Page.javascriptDialogOpening":
                asked = event["params"]["type"]
                self.call("Page.handleJavaScriptDialog", accept=leave)
                if not leave:
                    return asked
            elif event["method"] == "Page.loadEventFired":
                return asked

    def click(self, selector: str) -> None:
        """Click in the middle of the one element, brought into sight."""
        x, y = self.run(f"middle({json.dumps(selector)})")
        self.point("mousePressed", x, y, held=True)
        self.point("mouseReleased", x, y, held=True)

    def drag(self, selector: str, target: str) -> None:
        """Press on one element, move to another, rest there, and release.

        In one movement, since what lies between may make way for what is dragged over it.
        """
        x, y = self.run(f"middle({json.dumps(selector)})")
        self.point("mouseMoved", x, y)
        self.point("mousePressed", x, y, held=True)
        self.point("mouseMoved", x + 3, y + 3, held=True)
        self.run("drawn()")  # what begins to move may make room
        x, y = self.run(f"middle({json.dumps(target)}, false)")
        self.point("mouseMoved", x, y, held=True)
        self.run("rested()")
        for step in (1, 0):  # what is dragged may come after the pointer
            self.point("mouseMoved", x + step, y, held=True)
            self.run("drawn()")
        self.point("mouseReleased", x, y, held=True)

    def point(self, event: str, x: float, y: float, held: bool = False) -> None:
        """An event of the mouse at a place on the screen, with the left button held or not."""
        button = {"button": "left", "buttons": 1, "clickCount": 1} if held else {}
        self.call("Input.dispatchMouseEvent", type=event, x=x, y=y, **button)

    def type(self, selector: str, text: str) -> None:
        """Click in the one field and press a key for each character."""
        self.click(selector)
        self.write(text)

    def write(self, text: str) -> None:
        """Press a key for each character, where the focus is."""
        for character in text:
            self.call("Input.dispatchKeyEvent", type="keyDown", text=character, key=character)
            self.call("Input.dispatchKeyEvent", type="keyUp", key=character)

    def press(self, key: str, n: int = 1) -> None:
        """Press one of KEYS so many times, where the focus is."""
        code, number, text = KEYS[key]
        what = {"key": key, "code": code, "windowsVirtualKeyCode": number}
        typed = {"text": text} if text else {}
        for _ in range(n):
            self.call("Input.dispatchKeyEvent", type="keyDown", **what, **typed)
            self.call("Input.dispatchKeyEvent", type="keyUp", **what)

    def screenshot(self, path: Path) -> None:
        """All of the page, as a PNG file."""
        shot = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        path.write_bytes(base64.b64decode(shot["data"]))
