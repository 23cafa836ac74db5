(job: Ol auf Karton - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 355.6 by 279.4, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: groove: 2 lines with tool 2, V tool, 0.5292 mm deep)
(makes: cut: 1 line with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 1 line with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: opening 1: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
(- drag-knife-router cuts square to the board: no bevel, cut along the sight outline, so that the board covers the art as)
(- asked)
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
G0 X45.4 Y45.4
G1 Z-0.5292 F600
G1 X58.1 Y39.05 F1500
G1 X337.5 Y39.05
G1 X350.2 Y45.4
G0 Z5
G0 X304.1625 Y85.0875
G1 Z-0.5292 F600
G1 X91.4375 Y85.0875 F1500
G1 X91.4375 Y234.3125
G1 X304.1625 Y234.3125
G1 X304.1625 Y85.0875
G0 Z5
(tool 1: cut)
M0
G0 X286.7 Y102.55
G1 Z-1.7875 F600
G1 X108.9 Y102.55 F2400
G1 X108.9 Y216.85
G1 X286.7 Y216.85
G1 X286.7 Y102.55
G1 X285.7 Y102.55
G0 Z5
(tool 1: edge)
G0 X375.6 Y20
G1 Z-1.7875 F600
G1 X20 Y20 F2400
G1 X20 Y299.4
G1 X375.6 Y299.4
G1 X375.6 Y20
G1 X374.6 Y20
G0 Z5
G0 X0 Y0
M2
