(job: Panorama - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 1016 by 355.6, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: cut: 1 line with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 1 line with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: opening 1: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
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
G0 X96.2 Y96.2
G1 Z-1.7875 F600
G1 X96.2 Y299.4 F2400
G1 X959.8 Y299.4
G1 X959.8 Y96.2
G1 X96.2 Y96.2
G1 X96.2 Y97.2
G0 Z5
(tool 1: edge)
G0 X20 Y20
G1 Z-1.7875 F600
G1 X20 Y375.6 F2400
G1 X1036 Y375.6
G1 X1036 Y20
G1 X20 Y20
G1 X20 Y21
G0 Z5
G0 X0 Y0
M2
