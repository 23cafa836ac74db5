(job: Star and arch - face up)
(machine: drag-knife-router)
(unit: mm [one drawing unit is one millimetre])
(board: 360 by 240, its corner of least x and y at 20, 20)
(tolerance of curves: 0.01 mm)
(makes: cut: 2 lines with tool 1, upright knife, 1.7875 mm deep)
(makes: edge: 1 line with tool 1, upright knife, 1.7875 mm deep)
(DIFFERS FROM THE JOB: openings 1, 2: standard bevel, 45deg, 1.5875 mm wide is asked for, but the upright knife of)
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
G0 X167.082 Y85.8732
G1 Z-1.7875 F600
G1 X130 Y111.6772 F2400
G1 X92.918 Y85.8732
G1 X106 Y129.1142
G1 X70 Y156.4074
G1 X115.1672 Y157.3279
G1 X130 Y200
G1 X144.8328 Y157.3279
G1 X190 Y156.4074
G1 X154 Y129.1142
G1 X167.082 Y85.8732
G1 X166.2612 Y86.4444
G0 Z5
G0 X254 Y75
G1 Z-1.7875 F600
G1 X199 Y75 F2400
G1 X199 Y165
G2 X200.0358 Y172.7043 I29.1696 J0
G2 X202.9688 Y179.9192 I31.6832 J-8.6763
G2 X207.8018 Y186.7088 I32.1513 J-17.7711
G2 X213.9229 Y192.3944 I34.5721 J-31.0823
G2 X221.7659 Y197.4146 I31.9933 J-41.3457
G2 X230.3284 Y201.1057 I29.448 J-56.5368
G2 X241.6608 Y203.986 I22.5879 J-65.1374
G2 X253.3167 Y204.9969 I12.3388 J-74.5638
G2 X253.6584 Y204.9992 I0.6833 J-75.6164
G2 X254 Y205 I0.3416 J-75.6242
G2 X265.8344 Y204.069 I0 J-75.679
G2 X277.3501 Y201.2162 I-10.8226 J-68.357
G2 X286.0565 Y197.5079 I-20.6557 J-60.5704
G2 X294.0283 Y192.4321 I-24.0361 J-46.5477
G2 X299.9621 Y186.9719 I-28.4983 J-36.9247
G2 X304.7149 Y180.479 I-27.4244 J-25.0607
G2 X307.8115 Y173.2504 I-28.7696 J-16.6015
G2 X308.9958 Y165.4923 I-28.0588 J-8.253
G2 X308.999 Y165.2461 I-29.0906 J-0.4923
G2 X309 Y165 I-29.0899 J-0.2461
G1 X309 Y75
G1 X254 Y75
G1 X253 Y75
G0 Z5
(tool 1: edge)
G0 X380 Y20
G1 Z-1.7875 F600
G1 X20 Y20 F2400
G1 X20 Y260
G1 X380 Y260
G1 X380 Y20
G1 X379 Y20
G0 Z5
G0 X0 Y0
M2
