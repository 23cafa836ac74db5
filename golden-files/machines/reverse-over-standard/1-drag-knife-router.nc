(job: Woodcut - black board - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 252.222371 by 303.022371, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
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
G1 Z-1.7 F600
G1 X83.5 Y259.5224 F2400
G1 X208.7224 Y259.5224
G1 X208.7224 Y83.5
G1 X83.5 Y83.5
G1 X83.5 Y84.5
G0 Z5
(tool 1: edge)
G0 X20 Y20
G1 Z-1.7 F600
G1 X20 Y323.0224 F2400
G1 X272.2224 Y323.0224
G1 X272.2224 Y20
G1 X20 Y20
G1 X20 Y21
G0 Z5
G0 X0 Y0
M2
