(job: Spring show - cream, 1.5875 mm thick - sheets 1 to 2 of 4 [make 2 like this] - face up)
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
G0 X151.7625 Y113.6625
G1 Z-1.7 F600
G1 X151.7625 Y332.7375 F2400
G1 X421.6375 Y332.7375
G1 X421.6375 Y113.6625
G1 X151.7625 Y113.6625
G1 X151.7625 Y114.6625
G0 Z5
G0 X421.6375 Y520.0625
G1 Z-1.7 F600
G1 X151.7625 Y520.0625 F2400
G1 X151.7625 Y739.1375
G1 X421.6375 Y739.1375
G1 X421.6375 Y520.0625
G1 X420.6375 Y520.0625
G0 Z5
G0 X659.7625 Y520.0625
G1 Z-1.7 F600
G1 X659.7625 Y739.1375 F2400
G1 X929.6375 Y739.1375
G1 X929.6375 Y520.0625
G1 X659.7625 Y520.0625
G1 X659.7625 Y521.0625
G0 Z5
G0 X929.6375 Y332.7375
G1 Z-1.7 F600
G1 X929.6375 Y113.6625 F2400
G1 X659.7625 Y113.6625
G1 X659.7625 Y332.7375
G1 X929.6375 Y332.7375
G1 X929.6375 Y331.7375
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
