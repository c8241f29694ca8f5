"""What `blankwise serve` opens: the processes that compute get warm while the screens are still being loaded."""

from __future__ import annotations

import socket
from pathlib import Path

from dashboard.jobs import Workers

WARM = "dashboard.session:warm"


def serve(case_path: str | Path | None, host: str = "127.0.0.1", port: int = 8050, open_browser: bool = True) -> None:
    """Serve one person until interrupted. Raises OSError with a sentence when the port is taken, BadCase."""
    if _taken(host, port):
        raise OSError(f"port {port} of {host} is already in use; choose another one with --port")
    runner = Workers(first=(WARM, (str(case_path or ""),)))
    try:
        from dashboard.app import create_app
        from dashboard.server import run

        app = create_app(case_path, runner, hosts=(host,))
    except BaseException:
        runner.close()
        raise
    run(app, host, port, app.start, open_browser)


def _taken(host: str, port: int) -> bool:
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        return port != 0 and probe.connect_ex((host, port)) == 0
