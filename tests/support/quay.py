"""A studio with one deck for made-up songs at a low rate: eight inputs at 8 kHz."""

STUDIO = """
[studio]
name = "Quay"
timezone = "Europe/Lisbon"
[[deck]]
id = "D1"
widths = ["1/4 in"]
tracks = 8
speeds = ["15 ips"]
wind_speed = "180 ips"
setup_minutes = 40
touch_up_minutes = 15
[capture]
inputs = 8
sample_rate = "8 kHz"
bit_depth = 24
[[hours]]
days = ["mon"]
from = "19:00"
to = "22:30"
bench = true
home = true
"""
