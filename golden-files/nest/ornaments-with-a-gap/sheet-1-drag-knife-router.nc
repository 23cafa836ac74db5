(job: Spring show - 4-ply, 1.5875 mm thick - sheet 1 of 1 - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 626 by 400, its corner of least x and y at 20, 20)
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
(tool 2: groove)
G0 X490.4125 Y144.4125
G1 Z-0.5 F600
G1 X490.4125 Y375.5875 F1500
G1 X611.5875 Y375.5875
G1 X611.5875 Y144.4125
G1 X490.4125 Y144.4125
G0 Z5
(tool 1: cut)
M0
G0 X504.4125 Y158.4125
G1 Z-1.7 F600
G1 X504.4125 Y361.5875 F2400
G1 X597.5875 Y361.5875
G1 X597.5875 Y158.4125
G1 X504.4125 Y158.4125
G1 X504.4125 Y159.4125
G0 Z5
G0 X331.5875 Y88.4125
G1 Z-1.7 F600
G1 X78.4125 Y88.4125 F2400
G1 X78.4125 Y341.5875
G1 X331.5875 Y341.5875
G1 X331.5875 Y88.4125
G1 X330.5875 Y88.4125
G0 Z5
(tool 1: edge)
G0 X420 Y20
G1 Z-1.7 F600
G1 X20 Y20 F2400
G1 X20 Y420
G1 X420 Y420
G1 X420 Y20
G1 X419 Y20
G0 Z5
G0 X426 Y20
G1 Z-1.7 F600
G1 X426 Y420 F2400
G1 X646 Y420
G1 X646 Y20
G1 X426 Y20
G1 X426 Y21
G0 Z5
G0 X0 Y0
M2
