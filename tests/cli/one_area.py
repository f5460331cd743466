"""The shortest load that a plan can be made of: one area, a small tank and a supply."""

AREA_LOAD = """\
[[part]]
name = "pen body"
area = "6 in2"
[bath]
acid = "180 g/L"
temperature = "20 C"
[tank]
volume = "10 L"
[supply]
current = "3 A"
voltage = "30 V"
[finish]
shade = "dark"
"""
