(job: Spring show - cream, 1.5875 mm thick - sheets 1 to 2 of 4 [make 2 like this] - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 1016 by 812.8, its corner of least x and y at 20, 20, turned by a quarter)
(tolerance of curves: 0.01 mm)
(makes: cut: 4 lines with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 2 lines with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: opening 1: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
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
G0 X153.35 Y115.25
G1 Z-1.7875 F600
G1 X153.35 Y331.15 F2400
G1 X420.05 Y331.15
G1 X420.05 Y115.25
G1 X153.35 Y115.25
G1 X153.35 Y116.25
G0 Z5
G0 X420.05 Y521.65
G1 Z-1.7875 F600
G1 X153.35 Y521.65 F2400
G1 X153.35 Y737.55
G1 X420.05 Y737.55
G1 X420.05 Y521.65
G1 X419.05 Y521.65
G0 Z5
G0 X661.35 Y521.65
G1 Z-1.7875 F600
G1 X661.35 Y737.55 F2400
G1 X928.05 Y737.55
G1 X928.05 Y521.65
G1 X661.35 Y521.65
G1 X661.35 Y522.65
G0 Z5
G0 X928.05 Y331.15
G1 Z-1.7875 F600
G1 X928.05 Y115.25 F2400
G1 X661.35 Y115.25
G1 X661.35 Y331.15
G1 X928.05 Y331.15
G1 X928.05 Y330.15
G0 Z5
(tool 1: edge)
G0 X1036 Y426.4
G1 Z-1.7875 F600
G1 X20 Y426.4 F2400
G0 Z5
G0 X528 Y832.8
G1 Z-1.7875 F600
G1 X528 Y20 F2400
G0 Z5
G0 X0 Y0
M2
