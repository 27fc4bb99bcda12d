"""One job in a browser window on this machine, redrawn as its files are saved.

``desk`` keeps what is shown and has it worked out by two processes of ``bench``; ``watch`` notices
what was saved; ``server`` answers the window. Nothing here lays, checks or draws by itself.
"""

from __future__ import annotations

from renderer.preview.desk import Asked, Desk
from renderer.preview.server import Server

__all__ = ["Asked", "Desk", "Server"]
