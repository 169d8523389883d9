"""Draw the output of a command as a picture for the README.

`plinth | python docs/pictures/draw.py docs/pictures/plan.png [FIRST LAST]` (needs Pillow and the DejaVu Sans Mono that
Matplotlib carries). Lines FIRST to LAST, counted from 1.
"""

import sys

import matplotlib
from PIL import Image, ImageDraw, ImageFont

GROUND, INK = "#F4F0E6", "#1B1A17"


def main():
    lines = sys.stdin.read().splitlines()
    if len(sys.argv) > 3:
        lines = lines[int(sys.argv[2]) - 1 : int(sys.argv[3])]
    font = ImageFont.truetype(matplotlib.get_data_path() + "/fonts/ttf/DejaVuSansMono.ttf", 15)
    width = int(max(font.getlength(line) for line in lines)) + 48
    image = Image.new("RGB", (width, 20 * len(lines) + 48), GROUND)
    draw = ImageDraw.Draw(image)
    for k, line in enumerate(lines):
        draw.text((24, 24 + 20 * k), line, font=font, fill=INK)
    image.save(sys.argv[1])


main()
