"""A page on this machine alone, which renews itself when a file changes.

Bound to the loopback address, read-only, and gone with the command.
"""

import threading
from base64 import b64encode
from collections.abc import Callable
from hashlib import sha256
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

_ADDRESS = "127.0.0.1"

_ALIVE = 15.0
"""Seconds after which a page that waits is told that nothing has changed."""


class _Watched:
    """A file, and a number that grows with each change of what it says."""

    def __init__(self, path: Path) -> None:
        self.path, self.number = path, 0
        self.changed = threading.Condition()
        self.stamp, self.digest = self.stamp_now(), self.digest_now()

    def stamp_now(self) -> tuple[int, int]:
        try:
            found = self.path.stat()
        except OSError:
            return (0, -1)
        return found.st_mtime_ns, found.st_size

    def digest_now(self) -> str:
        try:
            return sha256(self.path.read_bytes()).hexdigest()
        except OSError:
            return ""

    def look(self) -> None:
        """Notes a change: the file is read again only where its time or its size is another."""
        stamp = self.stamp_now()
        if stamp == self.stamp:
            return
        self.stamp, digest = stamp, self.digest_now()
        if digest != self.digest:
            self.digest = digest
            with self.changed:
                self.number += 1
                self.changed.notify_all()

    def after(self, number: int) -> int:
        """The number once it is another than this, or the same after a while."""
        with self.changed:
            self.changed.wait_for(lambda: self.number != number, _ALIVE)
            return self.number


def server(path: Path, page: Callable[[], str], script: str, port: int = 0) -> ThreadingHTTPServer:
    """The server of a page about a file, in which one `script` alone may run."""
    watched = _Watched(path)
    allowed = b64encode(sha256(script.encode()).digest()).decode()

    class Answering(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            if self.headers.get("Host", "").partition(":")[0] not in (_ADDRESS, "localhost"):
                self.send_error(403)  # a page of another site that has this address for its own
            elif self.path == "/":
                self.answer(page().encode())
            elif self.path == "/changes":
                self._tell_changes()
            else:
                self.send_error(404)

        def answer(self, body: bytes) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html; charset=utf-8")
            self.send_header("Content-Length", str(len(body)))
            self.send_header("Cache-Control", "no-store")
            self.send_header(
                "Content-Security-Policy",
                f"default-src 'none'; connect-src 'self'; style-src 'unsafe-inline'; "
                f"script-src 'sha256-{allowed}'",
            )
            self.end_headers()
            self.wfile.write(body)

        def _tell_changes(self) -> None:
            """Server-sent events (HTML, section 9.2): one for each change, until nobody reads."""
            self.send_response(200)
            self.send_header("Content-Type", "text/event-stream")
            self.send_header("Cache-Control", "no-store")
            self.end_headers()
            told = watched.number
            try:
                while True:
                    now = watched.after(told)
                    self.wfile.write(b": nothing\n\n" if now == told else b"data: changed\n\n")
                    self.wfile.flush()
                    told = now
            except OSError:
                return

        def log_message(self, format: str, *args: object) -> None:
            """Nothing: the terminal is the author's."""

    class Serving(ThreadingHTTPServer):
        daemon_threads = True

        def service_actions(self) -> None:
            watched.look()

    return Serving((_ADDRESS, port), Answering)
