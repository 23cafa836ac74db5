(job: Spring show - 4-ply, 1.5875 mm thick - sheet 1 of 1 - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 914.4 by 609.6, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: cut: 4 lines with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 2 lines with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: opening 1: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
(- drag-knife-router cuts square to the board: no bevel, cut along the sight outline, so that the board covers the art as)
(- asked)
(DIFFERS FROM THE JOB: openings 1, 2: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
(- drag-knife-router cuts square to the board: no bevel, cut along the sight outline, so that the board covers the art as)
(- asked)
(DIFFERS FROM THE JOB: 4 edges of mats lie on edges of the sheet, and are left as the factory cut them)
(CAUTION: this file moves a blade. Run it above the board first, and on scrap before the real board)
(Keep hands and clamps clear. Stop the machine and lock the blade before you touch it)
(Z is zero at the surface of the board. Set zero, speeds and depths by the manual of the machine, which comes first)
(A drag knife trails behind its axis: the controller must correct for that)
G21
G90
G91.1
G17
G40
G49
G80
G94
G61
G0 Z5
(tool 1: cut)
G0 X134.3 Y172.4
G1 Z-1.7875 F600
G2 X148.2281 Y171.1689 I0 J-79.4007 F2400
G2 X161.6929 Y167.4301 I-12.9871 J-72.8885
G2 X172.2385 Y162.3408 I-24.8493 J-64.9602
G2 X181.6719 Y155.4293 I-30.2892 J-51.2346
G2 X189.0737 Y147.3014 I-36.2386 J-40.4355
G2 X194.4988 Y137.7662 I-36.8294 J-27.2654
G2 X196.9554 Y129.8453 I-39.6584 J-16.6408
G2 X197.8 Y121.6 I-39.8226 J-8.2453
G2 X196.4409 Y111.1694 I-40.7059 J0
G2 X192.5533 Y101.3804 I-42.9127 J11.3759
G2 X186.1618 Y92.2845 I-42.3691 J22.9785
G2 X177.9789 Y84.727 I-42.9238 J38.267
G2 X168.1795 Y78.6307 I-37.8773 J49.9615
G2 X157.4684 Y74.302 I-32.2591 J64.4057
G2 X146.0191 Y71.6697 I-22.6035 J72.1012
G2 X134.3 Y70.8 I-11.7191 J78.5183
G2 X120.3719 Y72.0311 I0 J79.4007
G2 X106.9071 Y75.7699 I12.9871 J72.8885
G2 X96.3615 Y80.8592 I24.8493 J64.9602
G2 X86.9281 Y87.7707 I30.2892 J51.2346
G2 X79.5263 Y95.8986 I36.2386 J40.4355
G2 X74.1012 Y105.4338 I36.8294 J27.2654
G2 X71.6446 Y113.3547 I39.6584 J16.6408
G2 X70.8 Y121.6 I39.8226 J8.2453
G2 X72.1591 Y132.0306 I40.7059 J0
G2 X76.0467 Y141.8196 I42.9127 J-11.3759
G2 X82.4382 Y150.9155 I42.3691 J-22.9785
G2 X90.6211 Y158.473 I42.9238 J-38.267
G2 X100.4205 Y164.5693 I37.8773 J-49.9615
G2 X111.1316 Y168.898 I32.2591 J-64.4057
G2 X122.5809 Y171.5303 I22.6035 J-72.1012
G2 X134.3 Y172.4 I11.7191 J-78.5183
G2 X134.8 Y172.3984 I0 J-79.375
G2 X135.3 Y172.3937 I-0.5 J-79.3663
G0 Z5
G0 X248.6 Y223.2
G1 Z-1.7875 F600
G1 X451.8 Y223.2 F2400
G1 X451.8 Y96.2
G1 X248.6 Y96.2
G1 X248.6 Y223.2
G1 X249.6 Y223.2
G0 Z5
G0 X401 Y426.4
G1 Z-1.7875 F600
G1 X121.6 Y426.4 F2400
G1 X121.6 Y578.8
G1 X401 Y578.8
G1 X401 Y426.4
G1 X400 Y426.4
G0 Z5
G0 X604.2 Y528
G1 Z-1.7875 F600
G1 X832.8 Y528 F2400
G1 X832.8 Y147
G1 X604.2 Y147
G1 X604.2 Y528
G1 X605.2 Y528
G0 Z5
(tool 1: edge)
G0 X528 Y629.6
G1 Z-1.7875 F600
G1 X528 Y20 F2400
G0 Z5
G0 X528 Y274
G1 Z-1.7875 F600
G1 X20 Y274 F2400
G0 Z5
G0 X0 Y0
M2
