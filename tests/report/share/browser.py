"""A headless Chromium driven over pipes, and a server as strict as the site allows."""

from __future__ import annotations

import contextlib
import fcntl
import functools
import http.server
import json
import os
import shutil
import subprocess
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
_QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--remote-debugging-pipe",
]
_FREE_FROM = 20  # descriptors 3 and 4 are where the browser listens and answers
_PATIENCE = 20.0  # seconds


class _Strict(http.server.SimpleHTTPRequestHandler):
    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", "default-src 'self'")
        super().end_headers()

    def log_message(self, *_: Any) -> None:
        pass


@contextlib.contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address under which a folder is served."""
    handler = functools.partial(_Strict, directory=str(folder))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


class Tab:
    """One page. faults : what the console and the content policy complained of."""

    def __init__(self, profile: Path) -> None:
        to_read, self._write = os.pipe()
        self._read, to_write = os.pipe()
        ends = [fcntl.fcntl(end, fcntl.F_DUPFD, _FREE_FROM) for end in (to_read, to_write)]

        def place() -> None:
            os.dup2(ends[0], 3)
            os.dup2(ends[1], 4)

        self._browser = subprocess.Popen(
            [str(CHROMIUM), *_QUIET, f"--user-data-dir={profile}", "about:blank"],
            preexec_fn=place,
            pass_fds=(3, 4, *ends),
            stderr=subprocess.DEVNULL,
        )
        for end in (to_read, to_write, *ends):
            os.close(end)
        self._left = b""
        self._sent = 0
        self._session: str | None = None
        self.faults: list[str] = []
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.ask("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for part in ("Page", "Runtime", "Log"):
            self.ask(f"{part}.enable")

    def close(self) -> None:
        self._browser.terminate()
        self._browser.wait()
        os.close(self._write)
        os.close(self._read)

    def ask(self, method: str, **params: Any) -> Any:
        """One command of the DevTools protocol and its answer."""
        self._sent += 1
        told = {"id": self._sent, "method": method, "params": params}
        os.write(
            self._write, json.dumps(told | ({"sessionId": self._session} if self._session else {})).encode() + b"\0"
        )
        while True:
            answer = self._next()
            if answer.get("id") == self._sent:
                return answer["result"]
            if answer.get("method") in ("Runtime.exceptionThrown", "Log.entryAdded"):
                self.faults.append(json.dumps(answer["params"]))

    def _next(self) -> Any:
        while b"\0" not in self._left:
            got = os.read(self._read, 1 << 20)
            assert got, "the browser has gone"
            self._left += got
        one, _, self._left = self._left.partition(b"\0")
        return json.loads(one)

    def open(self, address: str) -> None:
        self.ask("Page.navigate", url=address)

    def value(self, expression: str) -> Any:
        found = self.ask("Runtime.evaluate", expression=expression, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in found, found
        return found["result"].get("value")

    def wait(self, expression: str) -> Any:
        """The value of an expression once it is truthy."""
        end = time.monotonic() + _PATIENCE
        while time.monotonic() < end:
            found = self.value(f"(() => {{ try {{ return {expression}; }} catch {{ return null; }} }})()")
            if found:
                return found
            time.sleep(0.03)
        raise AssertionError(f"never true: {expression}\n{self.faults}")

    def type(self, text: str) -> None:
        self.ask("Input.insertText", text=text)

    def press(self, key: str, code: int) -> None:
        named = {"key": key, "code": key, "windowsVirtualKeyCode": code}
        self.ask("Input.dispatchKeyEvent", type="keyDown", **named, **({"text": "\r"} if key == "Enter" else {}))
        self.ask("Input.dispatchKeyEvent", type="keyUp", **named)
