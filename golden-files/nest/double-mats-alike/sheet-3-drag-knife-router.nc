(job: Spring show - navy, 1.5875 mm thick - sheets 3 to 4 of 4 [make 2 like this] - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 1016 by 812.8, its corner of least x and y at 20, 20, turned by a quarter)
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
G0 X158.1125 Y120.0125
G1 Z-1.7 F600
G1 X158.1125 Y326.3875 F2400
G1 X415.2875 Y326.3875
G1 X415.2875 Y120.0125
G1 X158.1125 Y120.0125
G1 X158.1125 Y121.0125
G0 Z5
G0 X415.2875 Y526.4125
G1 Z-1.7 F600
G1 X158.1125 Y526.4125 F2400
G1 X158.1125 Y732.7875
G1 X415.2875 Y732.7875
G1 X415.2875 Y526.4125
G1 X414.2875 Y526.4125
G0 Z5
G0 X666.1125 Y526.4125
G1 Z-1.7 F600
G1 X666.1125 Y732.7875 F2400
G1 X923.2875 Y732.7875
G1 X923.2875 Y526.4125
G1 X666.1125 Y526.4125
G1 X666.1125 Y527.4125
G0 Z5
G0 X923.2875 Y326.3875
G1 Z-1.7 F600
G1 X923.2875 Y120.0125 F2400
G1 X666.1125 Y120.0125
G1 X666.1125 Y326.3875
G1 X923.2875 Y326.3875
G1 X923.2875 Y325.3875
G0 Z5
(tool 1: edge)
G0 X1036 Y426.4
G1 Z-1.7 F600
G1 X20 Y426.4 F2400
G0 Z5
G0 X20 Y832.8
G1 Z-1.7 F600
G1 X1036 Y832.8 F2400
G0 Z5
G0 X1036 Y832.8
G1 Z-1.7 F600
G1 X1036 Y20 F2400
G0 Z5
G0 X1036 Y20
G1 Z-1.7 F600
G1 X20 Y20 F2400
G0 Z5
G0 X20 Y20
G1 Z-1.7 F600
G1 X20 Y832.8 F2400
G0 Z5
G0 X528 Y832.8
G1 Z-1.7 F600
G1 X528 Y20 F2400
G0 Z5
G0 X0 Y0
M2
