"""A stock Firefox driven from a test, by its own Marionette protocol: a few lines of JSON over a local socket, no driver to install.

Firefox changes its rules for file addresses when it is driven; ``remote.prefs.recommended`` set to false keeps them as a
reader has them.
"""

from __future__ import annotations

import json
import shutil
import socket
import subprocess
import time
from pathlib import Path
from typing import Any

PREFERENCES = {
    "remote.prefs.recommended": False,  # file addresses keep the rules that a reader's browser has
    "browser.shell.checkDefaultBrowser": False,
    "browser.aboutwelcome.enabled": False,
    "datareporting.policy.dataSubmissionEnabled": False,
    "toolkit.telemetry.reportingpolicy.firstRun": False,
    "app.update.enabled": False,
    "app.normandy.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
    "services.settings.server": "",
}
ENTER = "\ue007"
ERRORS = """
    return Services.console.getMessageArray()
        .filter((m) => m instanceof Ci.nsIScriptError && (m.sourceName || "").startsWith("file:") && !(m.flags & 1))
        .map((m) => `${m.sourceName}:${m.lineNumber}: ${m.errorMessage}`);
"""


def firefox_on_path() -> str | None:
    """A Firefox, if the machine has one."""
    return shutil.which("firefox-esr") or shutil.which("firefox")


class Firefox:
    """One headless Firefox with a profile of its own; a page at a time."""

    def __init__(self, program: str, folder: Path) -> None:
        port = _free_port()
        lines = [
            f"user_pref({json.dumps(k)}, {json.dumps(v)});" for k, v in {**PREFERENCES, "marionette.port": port}.items()
        ]
        (folder / "user.js").write_text("\n".join(lines), encoding="utf-8")
        command = [
            program,
            "--headless",
            "--no-remote",
            "--marionette",
            "--remote-allow-system-access",
            "--profile",
            str(folder),
        ]
        self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self._socket = _connected(port, self._process)
        self._file = self._socket.makefile("rb")
        self._count = 0
        self._read()  # the greeting
        self.ask("WebDriver:NewSession", {"capabilities": {"alwaysMatch": {"acceptInsecureCerts": False}}})

    def ask(self, command: str, given: dict[str, Any] | None = None) -> Any:
        """Send a command and give its value."""
        self._count += 1
        text = json.dumps([0, self._count, command, given or {}])
        data = text.encode()
        self._socket.sendall(f"{len(data)}:".encode() + data)
        _, _, error, result = self._read()
        assert error is None, error
        return result.get("value") if isinstance(result, dict) and set(result) == {"value"} else result

    def open(self, address: str) -> None:
        """Open an address and wait until it is loaded."""
        self.ask("WebDriver:Navigate", {"url": address})

    def run(self, script: str, *given: Any) -> Any:
        """Run the body of a function in the page."""
        return self.ask("WebDriver:ExecuteScript", {"script": script, "args": list(given), "sandbox": None})

    def until(self, script: str, *given: Any, seconds: float = 10) -> Any:
        """Wait until the function's body gives something true, and give it."""
        end = time.monotonic() + seconds
        while not (found := self.run(script, *given)):
            assert time.monotonic() < end, f"did not come true: {script}"
            time.sleep(0.05)
        return found

    def press(self, keys: str) -> None:
        """Press the keys one after the other, wherever the focus is."""
        actions = [one for key in keys for one in ({"type": "keyDown", "value": key}, {"type": "keyUp", "value": key})]
        self.ask("WebDriver:PerformActions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def _inside(self, script: str) -> Any:
        self.ask("Marionette:SetContext", {"value": "chrome"})
        try:
            return self.ask("WebDriver:ExecuteScript", {"script": script, "args": [], "sandbox": "system"})
        finally:
            self.ask("Marionette:SetContext", {"value": "content"})

    def errors(self) -> list[str]:
        """What the browser's console holds about files of the site: errors of scripts and breaches of the policy."""
        return list(self._inside(ERRORS))

    def preference(self, name: str) -> Any:
        """A yes-or-no preference as it stands."""
        return self._inside(f"return Services.prefs.getBoolPref({json.dumps(name)});")

    def close(self) -> None:
        """End this Firefox and no other."""
        self._socket.close()
        self._process.terminate()
        try:
            self._process.wait(10)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait(10)

    def _read(self) -> Any:
        length = b""
        while (letter := self._file.read(1)) != b":":
            assert letter, "Firefox has gone"
            length += letter
        return json.loads(self._file.read(int(length)))


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def _connected(port: int, process: subprocess.Popen[bytes]) -> socket.socket:
    end = time.monotonic() + 60
    while True:
        try:
            return socket.create_connection(("127.0.0.1", port), timeout=60)
        except OSError:
            assert process.poll() is None and time.monotonic() < end, "Firefox did not start"
            time.sleep(0.1)
