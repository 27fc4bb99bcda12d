"""``python -m renderer``: the same as the command ``pegline``."""

from renderer.cli import command

if __name__ == "__main__":
    command()
