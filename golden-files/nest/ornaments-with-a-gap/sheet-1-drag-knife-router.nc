(job: Spring show - 4-ply, 1.5875 mm thick - sheet 1 of 1 - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 626 by 400, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: groove: 1 line with tool 2, V tool, 0.5292 mm deep)
(makes: cut: 2 lines with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 2 lines with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: opening 1: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
(- drag-knife-router cuts square to the board: no bevel, cut along the sight outline, so that the board covers the art as)
(- asked)
(DIFFERS FROM THE JOB: 6 edges of mats lie on edges of the sheet, and are left as the factory cut them)
(LEFT OUT: drag-knife-router leaves out 2 ruled lines: there is no tool for it, machines that can do it:)
(- face-pen-plotter, flatbed-cutter-face, vector-cutter, drawing-exchange, the view pen shows it)
(LEFT OUT: drag-knife-router leaves out 1 band of wash: there is no tool for it, machines that can do it:)
(- face-pen-plotter, flatbed-cutter-face, vector-cutter, drawing-exchange, the view pen shows it)
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
G1 Z-0.5292 F600
G1 X490.4125 Y375.5875 F1500
G1 X611.5875 Y375.5875
G1 X611.5875 Y144.4125
G1 X490.4125 Y144.4125
G0 Z5
(tool 1: cut)
M0
G0 X506 Y160
G1 Z-1.7875 F600
G1 X506 Y360 F2400
G1 X596 Y360
G1 X596 Y160
G1 X506 Y160
G1 X506 Y161
G0 Z5
G0 X330 Y90
G1 Z-1.7875 F600
G1 X80 Y90 F2400
G1 X80 Y340
G1 X330 Y340
G1 X330 Y90
G1 X329 Y90
G0 Z5
(tool 1: edge)
G0 X420 Y20
G1 Z-1.7875 F600
G1 X420 Y420 F2400
G0 Z5
G0 X426 Y420
G1 Z-1.7875 F600
G1 X426 Y20 F2400
G0 Z5
G0 X0 Y0
M2
