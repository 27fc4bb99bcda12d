"""From readings to points: one least-squares adjustment, and what it says about slips and control.

The room knows readings, points and numpy, and nothing of plan files. ``solve`` is its only entry.
"""
