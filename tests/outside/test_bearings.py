"""Bearing sizes as the program gives them, against tables it was not made from.

The program's boundary dimensions come from ISO 15 and ISO 355, written down from memory and compared
with one maker's general catalogue. The lists here were typed from another maker's (of the tapered
ones, 37 rows the first maker does not list were afterwards given this one's abutments):
"NSK Rolling Bearings" (catalogue E1102), its tables of single row deep groove, extra small and
miniature, angular contact and metric tapered roller bearings, by its own spellings (6804 for 61804).

The binary under test is named by the environment variable FIXWRIGHT.
"""

import csv
import json
import math
import os
import pathlib
import subprocess

import pytest

BINARY = os.environ.get("FIXWRIGHT", "fixwright")


def bearing(*words):
    done = subprocess.run(
        [BINARY, "bearing", *words, "--json"], capture_output=True, text=True, check=False
    )
    assert done.stdout, done.stderr
    return done.returncode, json.loads(done.stdout)


def rows(text):
    return [tuple(line.split()) for line in text.strip().splitlines()]


def near(a, b):
    return math.isclose(float(a), float(b), abs_tol=1e-9)


# designation, bore, outside, width, least chamfer: deep groove ball bearings, pages B 8 to B 15
DEEP_GROOVE = rows(
    """
6800 10 19 5 0.3
6900 10 22 6 0.3
6000 10 26 8 0.3
6200 10 30 9 0.6
6300 10 35 11 0.6
6801 12 21 5 0.3
6901 12 24 6 0.3
16001 12 28 7 0.3
6001 12 28 8 0.3
6201 12 32 10 0.6
6301 12 37 12 1
6802 15 24 5 0.3
6902 15 28 7 0.3
16002 15 32 8 0.3
6002 15 32 9 0.3
6202 15 35 11 0.6
6302 15 42 13 1
6803 17 26 5 0.3
6903 17 30 7 0.3
16003 17 35 8 0.3
6003 17 35 10 0.3
6203 17 40 12 0.6
6303 17 47 14 1
6804 20 32 7 0.3
6904 20 37 9 0.3
16004 20 42 8 0.3
6004 20 42 12 0.6
6204 20 47 14 1
6304 20 52 15 1.1
60/22 22 44 12 0.6
62/22 22 50 14 1
63/22 22 56 16 1.1
6805 25 37 7 0.3
6905 25 42 9 0.3
16005 25 47 8 0.3
6005 25 47 12 0.6
6205 25 52 15 1
6305 25 62 17 1.1
60/28 28 52 12 0.6
62/28 28 58 16 1
63/28 28 68 18 1.1
6806 30 42 7 0.3
6906 30 47 9 0.3
16006 30 55 9 0.3
6006 30 55 13 1
6206 30 62 16 1
6306 30 72 19 1.1
60/32 32 58 13 1
62/32 32 65 17 1
63/32 32 75 20 1.1
6807 35 47 7 0.3
6907 35 55 10 0.6
16007 35 62 9 0.3
6007 35 62 14 1
6207 35 72 17 1.1
6307 35 80 21 1.5
6808 40 52 7 0.3
6908 40 62 12 0.6
16008 40 68 9 0.3
6008 40 68 15 1
6208 40 80 18 1.1
6308 40 90 23 1.5
6809 45 58 7 0.3
6909 45 68 12 0.6
16009 45 75 10 0.6
6009 45 75 16 1
6209 45 85 19 1.1
6309 45 100 25 1.5
6810 50 65 7 0.3
6910 50 72 12 0.6
16010 50 80 10 0.6
6010 50 80 16 1
6210 50 90 20 1.1
6310 50 110 27 2
6811 55 72 9 0.3
6911 55 80 13 1
16011 55 90 11 0.6
6011 55 90 18 1.1
6211 55 100 21 1.5
6311 55 120 29 2
6812 60 78 10 0.3
6912 60 85 13 1
16012 60 95 11 0.6
6012 60 95 18 1.1
6212 60 110 22 1.5
6312 60 130 31 2.1
6813 65 85 10 0.6
6913 65 90 13 1
16013 65 100 11 0.6
6013 65 100 18 1.1
6213 65 120 23 1.5
6313 65 140 33 2.1
6814 70 90 10 0.6
6914 70 100 16 1
16014 70 110 13 0.6
6014 70 110 20 1.1
6214 70 125 24 1.5
6314 70 150 35 2.1
6815 75 95 10 0.6
6915 75 105 16 1
16015 75 115 13 0.6
6015 75 115 20 1.1
6215 75 130 25 1.5
6315 75 160 37 2.1
6816 80 100 10 0.6
6916 80 110 16 1
16016 80 125 14 0.6
6016 80 125 22 1.1
6216 80 140 26 2
6316 80 170 39 2.1
6817 85 110 13 1
6917 85 120 18 1.1
16017 85 130 14 0.6
6017 85 130 22 1.1
6217 85 150 28 2
6317 85 180 41 3
6818 90 115 13 1
6918 90 125 18 1.1
16018 90 140 16 1
6018 90 140 24 1.5
6218 90 160 30 2
6318 90 190 43 3
6819 95 120 13 1
6919 95 130 18 1.1
16019 95 145 16 1
6019 95 145 24 1.5
6219 95 170 32 2.1
6319 95 200 45 3
6820 100 125 13 1
6920 100 140 20 1.1
16020 100 150 16 1
6020 100 150 24 1.5
6220 100 180 34 2.1
6320 100 215 47 3
6821 105 130 13 1
6921 105 145 20 1.1
16021 105 160 18 1
6021 105 160 26 2
6221 105 190 36 2.1
6321 105 225 49 3
"""
)

# designation, bore, outside, width open, width with shields, least chamfer (where it is ISO 15's;
# - where the catalogue marks it as its own): extra small and miniature, pages B 34 to B 37
MINIATURE = rows(
    """
681 1 3 1.0 - 0.05
691 1 4 1.6 - 0.1
618/1.5 1.5 4 1.2 2.0 0.05
619/1.5 1.5 5 2.0 2.6 0.15
682 2 5 1.5 2.3 0.08
MR52 2 5 2.0 2.5 0.1
692 2 6 2.3 3.0 0.15
MR62 2 6 2.5 2.5 0.15
MR72 2 7 2.5 3.0 0.15
602 2 7 2.8 3.5 0.15
618/2.5 2.5 6 1.8 2.6 0.08
619/2.5 2.5 7 2.5 3.5 0.15
60/2.5 2.5 8 2.8 4.0 0.15
MR63 3 6 2.0 2.5 0.1
683 3 7 2.0 3.0 0.1
MR83 3 8 2.5 - 0.15
693 3 8 3.0 4.0 0.15
MR93 3 9 2.5 4.0 0.2
603 3 9 3.0 5.0 0.15
623 3 10 4.0 4.0 0.15
633 3 13 5.0 5.0 0.2
MR74 4 7 2.0 2.5 0.1
MR84 4 8 2.0 3.0 0.15
684 4 9 2.5 4.0 -
MR104 4 10 3.0 4.0 0.2
694 4 11 4.0 4.0 0.15
604 4 12 4.0 4.0 0.2
624 4 13 5.0 5.0 0.2
634 4 16 5.0 5.0 0.3
MR85 5 8 2.0 2.5 0.1
MR95 5 9 2.5 3.0 0.15
MR105 5 10 3.0 4.0 0.15
MR115 5 11 - 4.0 0.15
685 5 11 3.0 5.0 0.15
695 5 13 4.0 4.0 0.2
605 5 14 5.0 5.0 0.2
625 5 16 5.0 5.0 0.3
635 5 19 6.0 6.0 0.3
MR106 6 10 2.5 3.0 0.15
MR126 6 12 3.0 4.0 0.2
686 6 13 3.5 5.0 0.15
696 6 15 5.0 5.0 0.2
606 6 17 6.0 6.0 0.3
626 6 19 6.0 6.0 0.3
636 6 22 7.0 7.0 0.3
MR117 7 11 2.5 3.0 0.15
MR137 7 13 3.0 4.0 0.2
687 7 14 3.5 5.0 0.15
697 7 17 5.0 5.0 0.3
607 7 19 6.0 6.0 0.3
627 7 22 7.0 7.0 0.3
637 7 26 9.0 9.0 0.3
MR128 8 12 2.5 3.5 0.15
MR148 8 14 3.5 4.0 0.2
688 8 16 4.0 5.0 0.2
698 8 19 6.0 6.0 0.3
608 8 22 7.0 7.0 0.3
628 8 24 8.0 8.0 0.3
638 8 28 9.0 9.0 0.3
689 9 17 4.0 5.0 0.2
699 9 20 6.0 6.0 0.3
609 9 24 7.0 7.0 0.3
629 9 26 8.0 8.0 -
639 9 30 10.0 10.0 0.6
R144 3.175 6.35 2.38 2.779 0.1
R2 3.175 9.525 3.967 3.967 0.3
R155 3.967 7.938 2.779 3.175 0.1
R156 4.762 7.938 2.779 3.175 0.1
R166 4.762 9.525 3.175 3.175 0.1
R168 6.35 9.525 3.175 3.175 0.1
R188 6.35 12.7 3.175 4.762 0.15
R4 6.35 15.875 4.978 4.978 0.3
R4A 6.35 19.05 5.558 7.142 0.4
R6 9.525 22.225 5.558 7.142 0.4
"""
)

# designation, bore, outside, width, least chamfer: angular contact, page B 50
ANGULAR = rows(
    """
7900C 10 22 6 0.3
7000A 10 26 8 0.3
7200B 10 30 9 0.6
7300B 10 35 11 0.6
7901C 12 24 6 0.3
7001A 12 28 8 0.3
7201B 12 32 10 0.6
"""
)

# designation, bore, outside, T, B, C, cone chamfer, cup chamfer: metric tapered, pages B 112 to B 125
TAPERED = rows(
    """
30202 15 35 11.75 11 10 0.6 0.6
30302J 15 42 14.25 13 11 1 1
30203J 17 40 13.25 12 11 1 1
32203J 17 40 17.25 16 14 1 1
30303J 17 47 15.25 14 12 1 1
32303J 17 47 20.25 19 16 1 1
32004XJ 20 42 15 15 12 0.6 0.6
30204J 20 47 15.25 14 12 1 1
32204J 20 47 19.25 18 15 1 1
30304J 20 52 16.25 15 13 1.5 1.5
32304J 20 52 22.25 21 18 1.5 1.5
320/22XJ 22 44 15 15 11.5 0.6 0.6
302/22 22 50 15.25 14 12 1 1
32005XJ 25 47 15 15 11.5 0.6 0.6
33005J 25 47 17 17 14 0.6 0.6
30205J 25 52 16.25 15 13 1 1
32205J 25 52 19.25 18 16 1 1
33205J 25 52 22 22 18 1 1
30305J 25 62 18.25 17 15 1.5 1.5
31305J 25 62 18.25 17 13 1.5 1.5
32305J 25 62 25.25 24 20 1.5 1.5
320/28XJ 28 52 16 16 12 1 1
302/28 28 58 17.25 16 14 1 1
32906J 30 47 12 12 9 0.3 0.3
32006XJ 30 55 17 17 13 1 1
33006J 30 55 20 20 16 1 1
30206J 30 62 17.25 16 14 1 1
32206J 30 62 21.25 20 17 1 1
33206J 30 62 25 25 19.5 1 1
30306J 30 72 20.75 19 16 1.5 1.5
31306J 30 72 20.75 19 14 1.5 1.5
32306J 30 72 28.75 27 23 1.5 1.5
320/32XJ 32 58 17 17 13 1 1
32907J 35 55 14 14 11.5 0.6 0.6
32007XJ 35 62 18 18 14 1 1
33007J 35 62 21 21 17 1 1
30207J 35 72 18.25 17 15 1.5 1.5
32207J 35 72 24.25 23 19 1.5 1.5
33207J 35 72 28 28 22 1.5 1.5
30307J 35 80 22.75 21 18 2 1.5
31307J 35 80 22.75 21 15 2 1.5
32307J 35 80 32.75 31 25 2 1.5
32908J 40 62 15 15 12 0.6 0.6
32008XJ 40 68 19 19 14.5 1 1
33008J 40 68 22 22 18 1 1
33108J 40 75 26 26 20.5 1.5 1.5
30208J 40 80 19.75 18 16 1.5 1.5
32208J 40 80 24.75 23 19 1.5 1.5
33208J 40 80 32 32 25 1.5 1.5
30308J 40 90 25.25 23 20 2 1.5
31308J 40 90 25.25 23 17 2 1.5
32308J 40 90 35.25 33 27 2 1.5
32909J 45 68 15 15 12 0.6 0.6
32009XJ 45 75 20 20 15.5 1 1
33009J 45 75 24 24 19 1 1
33109J 45 80 26 26 20.5 1.5 1.5
30209J 45 85 20.75 19 16 1.5 1.5
32209J 45 85 24.75 23 19 1.5 1.5
33209J 45 85 32 32 25 1.5 1.5
30309J 45 100 27.25 25 22 2 1.5
31309J 45 100 27.25 25 18 2 1.5
32309J 45 100 38.25 36 30 2 1.5
32910J 50 72 15 15 12 0.6 0.6
32010XJ 50 80 20 20 15.5 1 1
33010J 50 80 24 24 19 1 1
33110J 50 85 26 26 20 1.5 1.5
30210J 50 90 21.75 20 17 1.5 1.5
32210J 50 90 24.75 23 19 1.5 1.5
33210J 50 90 32 32 24.5 1.5 1.5
30310J 50 110 29.25 27 23 2.5 2
31310J 50 110 29.25 27 19 2.5 2
32310J 50 110 42.25 40 33 2.5 2
32911J 55 80 17 17 14 1 1
32011XJ 55 90 23 23 17.5 1.5 1.5
33011J 55 90 27 27 21 1.5 1.5
33111J 55 95 30 30 23 1.5 1.5
30211J 55 100 22.75 21 18 2 1.5
32211J 55 100 26.75 25 21 2 1.5
33211J 55 100 35 35 27 2 1.5
30311J 55 120 31.5 29 25 2.5 2
31311J 55 120 31.5 29 21 2.5 2
32311J 55 120 45.5 43 35 2.5 2
32912J 60 85 17 17 14 1 1
32012XJ 60 95 23 23 17.5 1.5 1.5
33012J 60 95 27 27 21 1.5 1.5
33112J 60 100 30 30 23 1.5 1.5
30212J 60 110 23.75 22 19 2 1.5
32212J 60 110 29.75 28 24 2 1.5
33212J 60 110 38 38 29 2 1.5
30312J 60 130 33.5 31 26 3 2.5
31312J 60 130 33.5 31 22 3 2.5
32312J 60 130 48.5 46 37 3 2.5
32913J 65 90 17 17 14 1 1
32013XJ 65 100 23 23 17.5 1.5 1.5
33013J 65 100 27 27 21 1.5 1.5
33113J 65 110 34 34 26.5 1.5 1.5
30213J 65 120 24.75 23 20 2 1.5
32213J 65 120 32.75 31 27 2 1.5
33213J 65 120 41 41 32 2 1.5
30313J 65 140 36 33 28 3 2.5
31313J 65 140 36 33 23 3 2.5
32313J 65 140 51 48 39 3 2.5
32914J 70 100 20 20 16 1 1
32014XJ 70 110 25 25 19 1.5 1.5
33014J 70 110 31 31 25.5 1.5 1.5
33114J 70 120 37 37 29 2 1.5
30214J 70 125 26.25 24 21 2 1.5
32214J 70 125 33.25 31 27 2 1.5
33214J 70 125 41 41 32 2 1.5
30314J 70 150 38 35 30 3 2.5
31314J 70 150 38 35 25 3 2.5
32314J 70 150 54 51 42 3 2.5
32915J 75 105 20 20 16 1 1
32015XJ 75 115 25 25 19 1.5 1.5
33015J 75 115 31 31 25.5 1.5 1.5
30215J 75 130 27.25 25 22 2 1.5
32215J 75 130 33.25 31 27 2 1.5
33215J 75 130 41 41 31 2 1.5
30315J 75 160 40 37 31 3 2.5
31315J 75 160 40 37 26 3 2.5
32315J 75 160 58 55 45 3 2.5
32916J 80 110 20 20 16 1 1
32016XJ 80 125 29 29 22 1.5 1.5
33016J 80 125 36 36 29.5 1.5 1.5
33116J 80 130 37 37 29 2 1.5
30216J 80 140 28.25 26 22 2.5 2
32216J 80 140 35.25 33 28 2.5 2
33216J 80 140 46 46 35 2.5 2
30316J 80 170 42.5 39 33 3 2.5
31316J 80 170 42.5 39 27 3 2.5
32316J 80 170 61.5 58 48 3 2.5
32917J 85 120 23 23 18 1.5 1.5
32017XJ 85 130 29 29 22 1.5 1.5
33017J 85 130 36 36 29.5 1.5 1.5
33117J 85 140 41 41 32 2.5 2
30217J 85 150 30.5 28 24 2.5 2
32217J 85 150 38.5 36 30 2.5 2
33217J 85 150 49 49 37 2.5 2
30317J 85 180 44.5 41 34 4 3
31317J 85 180 44.5 41 28 4 3
32317J 85 180 63.5 60 49 4 3
32918J 90 125 23 23 18 1.5 1.5
32018XJ 90 140 32 32 24 2 1.5
33018J 90 140 39 39 32.5 2 1.5
33118J 90 150 45 45 35 2.5 2
30218J 90 160 32.5 30 26 2.5 2
32218J 90 160 42.5 40 34 2.5 2
30318J 90 190 46.5 43 36 4 3
31318J 90 190 46.5 43 30 4 3
32318J 90 190 67.5 64 53 4 3
32919J 95 130 23 23 18 1.5 1.5
32019XJ 95 145 32 32 24 2 1.5
33019J 95 145 39 39 32.5 2 1.5
30219J 95 170 34.5 32 27 3 2.5
32219J 95 170 45.5 43 37 3 2.5
30319J 95 200 49.5 45 38 4 3
31319J 95 200 49.5 45 32 4 3
32319J 95 200 71.5 67 55 4 3
32920J 100 140 25 25 20 1.5 1.5
32020XJ 100 150 32 32 24 2 1.5
33020J 100 150 39 39 32.5 2 1.5
33120J 100 165 52 52 40 2.5 2
30220J 100 180 37 34 29 3 2.5
32220J 100 180 49 46 39 3 2.5
33220J 100 180 63 63 48 3 2.5
30320J 100 215 51.5 47 39 4 3
31320J 100 215 56.5 51 35 4 3
32320J 100 215 77.5 73 60 4 3
32921J 105 145 25 25 20 1.5 1.5
32021XJ 105 160 35 35 26 2.5 2
33021J 105 160 43 43 34 2.5 2
30221J 105 190 39 36 30 3 2.5
32221J 105 190 53 50 43 3 2.5
30321J 105 225 53.5 49 41 4 3
31321J 105 225 58 53 36 4 3
32321J 105 225 81.5 77 63 4 3
32922J 110 150 25 25 20 1.5 1.5
32022XJ 110 170 38 38 29 2.5 2
33022J 110 170 47 47 37 2.5 2
33122J 110 180 56 56 43 2.5 2
30222J 110 200 41 38 32 3 2.5
32222J 110 200 56 53 46 3 2.5
30322J 110 240 54.5 50 42 4 3
31322J 110 240 63 57 38 4 3
32322J 110 240 84.5 80 65 4 3
32924J 120 165 29 29 23 1.5 1.5
32024XJ 120 180 38 38 29 2.5 2
33024J 120 180 48 48 38 2.5 2
33124J 120 200 62 62 48 2.5 2
30224J 120 215 43.5 40 34 3 2.5
32224J 120 215 61.5 58 50 3 2.5
30324J 120 260 59.5 55 46 4 3
31324J 120 260 68 62 42 4 3
32324J 120 260 90.5 86 69 4 3
"""
)


def first(row):
    return row[0]


@pytest.mark.parametrize("row", DEEP_GROOVE + ANGULAR, ids=first)
def test_ball_bearings_have_the_published_size(row):
    stamp, bore, outside, width, chamfer = row
    code, got = bearing(stamp)
    assert code == 0
    assert near(got["bore"], bore) and near(got["outside"], outside)
    assert near(got["width"], width) and near(got["chamfer_min"], chamfer)


@pytest.mark.parametrize("row", MINIATURE, ids=first)
def test_small_bearings_have_the_published_size_open_and_shielded(row):
    stamp, bore, outside, width, closed, chamfer = row
    _, got = bearing(stamp)
    assert near(got["bore"], bore) and near(got["outside"], outside)
    if width != "-":
        assert near(got["width"], width)
    if chamfer != "-":
        assert near(got["chamfer_min"], chamfer)
    if closed != "-":
        assert near(bearing(stamp + "ZZ")[1]["width"], closed)


@pytest.mark.parametrize("row", TAPERED, ids=first)
def test_tapered_bearings_have_the_published_size(row):
    stamp, bore, outside, assembled, cone, cup, cone_chamfer, cup_chamfer = row
    code, got = bearing(stamp)
    assert code == 0 and got["kind"] == "tapered-roller"
    assert near(got["bore"], bore) and near(got["outside"], outside)
    assert near(got["assembled_width"], assembled) and near(got["width"], assembled)
    assert near(got["cone_width"], cone) and near(got["cup_width"], cup)
    assert near(got["chamfer_min"], cone_chamfer) and near(got["cup_chamfer_min"], cup_chamfer)


# designation, largest shaft abutment d_a (the inner ring's face of the closed bearing ends there):
# deep groove ball bearings with seals, pages B 8 to B 15
SHAFT_ABUTMENT = rows(
    """
6000 13
6200 16
6202 20.5
6203 23.5
6204 26.5
6304 28
6205 32
6305 36
6206 38.5
6306 42.5
6007 41.5
6207 44.5
6307 47
6208 50.5
6308 53
6309 61.5
6210 60
6310 68
6212 74.5
6216 95.5
6320 133
6804 22
6908 46
608 10.5
626 8.5
688 10.2
"""
)


@pytest.mark.parametrize("row", SHAFT_ABUTMENT, ids=first)
def test_a_nose_on_a_closed_bearing_stays_inside_the_published_abutment(row):
    stamp, abutment = row
    for closed in ("ZZ", "DDU", "-2RS1", "-2Z"):
        _, got = bearing(stamp + closed)
        assert got["inner_shoulder"] <= float(abutment), closed
        assert "catalogue" in got["shoulder_basis"]


def published():
    """Rows of five makers' catalogues (named in the file), in the makers' own spelling."""
    file = pathlib.Path(__file__).parents[1] / "it" / "published_lands.csv"
    lines = [line for line in file.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@pytest.mark.parametrize("maker", ["SKF", "Schaeffler", "NSK", "NTN", "NKE"])
def test_lands_keep_to_each_makers_printed_limits_on_both_faces(maker):
    held = 0
    for row in (row for row in published() if row["maker"] == maker):
        code, got = bearing(row["stamp"])
        assert code == 0, row["stamp"]
        for name in ("inner_back", "inner_front", "inner_either", "outer_back", "outer_front", "outer_either"):
            if not row[name]:
                continue
            ring, face = name.split("_")
            for land in got["lands"]:
                assert set(land) == {"ring", "face", "inner_diameter", "outer_diameter", "basis", "makers"}
                if land["ring"] != ring or "either" not in (face, land["face"]) and face != land["face"]:
                    continue
                if ring == "inner":
                    assert land["outer_diameter"] <= float(row[name]) + 1e-9, (row["stamp"], land)
                else:
                    assert land["inner_diameter"] >= float(row[name]) - 1e-9, (row["stamp"], land)
                held += 1
    assert held > 90


def test_a_tapered_bearing_tells_both_faces_of_cone_and_cup():
    _, got = bearing("30204")
    told = {(land["ring"], land["face"]): land for land in got["lands"]}
    assert set(told) == {("inner", "back"), ("inner", "front"), ("outer", "back"), ("outer", "front")}
    # NSK 30204 J, NTN 4T-30204 and Schaeffler 30204-A print 27 beside the cone's front; NSK and NTN 44
    # beside the cup's front; all print 40 beside its back.
    assert told["inner", "front"]["outer_diameter"] <= 27
    assert told["outer", "front"]["inner_diameter"] >= 44
    assert told["outer", "back"]["inner_diameter"] >= 40
    assert {"SKF", "Schaeffler", "NSK", "NTN", "NKE"} == set(told["inner", "front"]["makers"])


@pytest.mark.parametrize("stamp, kind", [("51104", "thrust"), ("NA4904", "needle"), ("UC204", "insert")])
def test_a_kind_that_is_not_held_is_refused_by_name(stamp, kind):
    code, got = bearing(stamp)
    assert code == 2 and kind in got["error"]["says"]


# Largest chamfer r_max along the face for the least, radial bearings, by bore: table 8.9.1 there,
# which is ISO 582. Stamp of a bearing with that least chamfer and bore, and the value.
@pytest.mark.parametrize(
    "stamp, largest",
    [
        ("681", 0.1),
        ("682", 0.16),
        ("683", 0.2),
        ("623", 0.3),
        ("624", 0.5),
        ("608", 0.6),
        ("6809", 0.8),
        ("6201", 1.0),
        ("6909", 1.3),
        ("6204", 1.5),
        ("6911", 1.9),
        ("6208", 2.0),
        ("6211", 2.3),
        ("30302", 1.6),
        ("32911", 1.9),
        ("32004", 1.1),
    ],
)
def test_the_largest_chamfer_is_the_published_one(stamp, largest):
    assert near(bearing(stamp)[1]["chamfer_max_radial_inner"], largest)


def test_a_bearing_no_table_knows_is_an_error_one_can_act_on():
    code, got = bearing("6299")
    assert code == 2
    assert got["error"]["kind"] == "unknown"
    assert "6299" in got["error"]["says"] and "20x47x14" in got["error"]["try"]


def test_an_envelope_finds_every_kind_that_fits():
    code, got = bearing("--bore", "30", "--outside", "55")
    assert code == 0
    found = {row["designation"] for row in got["matches"]}
    assert {"6006", "16006", "7006", "NU1006", "32006", "33006"} <= found
