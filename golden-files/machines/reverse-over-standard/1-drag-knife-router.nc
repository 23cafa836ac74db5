(job: Woodcut - black board - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 254 by 304.8, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: cut: 1 line with tool 1, upright knife, 3.375 mm deep)
(makes: edge: 1 line with tool 1, upright knife, 3.375 mm deep)
(DIFFERS FROM THE JOB: opening 1: reverse bevel, 45deg, 3.175 mm wide is asked for, but the upright knife of)
(- drag-knife-router cuts square to the board: no bevel, cut along the sight outline, so that the board covers the art as)
(- asked)
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
G0 X83.5 Y83.5
G1 Z-3.375 F600
G1 X83.5 Y261.3 F2400
G1 X210.5 Y261.3
G1 X210.5 Y83.5
G1 X83.5 Y83.5
G1 X83.5 Y84.5
G0 Z5
(tool 1: edge)
G0 X20 Y20
G1 Z-3.375 F600
G1 X20 Y324.8 F2400
G1 X274 Y324.8
G1 X274 Y20
G1 X20 Y20
G1 X20 Y21
G0 Z5
G0 X0 Y0
M2
