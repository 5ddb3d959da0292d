"""What sits where: an outline of the positions of each crane.

Two blanks a level. `name : PART xN | hours ...` where hours are hands-on hours to exchange it,
LB marks what bears the load, on=date tells when it was fitted (else with the crane) and
rate=figure is a failure rate of this position's own. `#1-4` repeats a line and all below it, `@`
stands for the crane, and names in braces are filled in where a block is used twice.
Hours of what bears the load hold the test that must follow it.
"""

HOIST = """
{h} machinery
  {h} motor : MOT-{s} | 14
  {h} motor coupling : CPL-M-{s} | 6
  {h} float shaft : FSH-{s} | 8
  {h} brake #1-2 : BRK-{s} | 10 LB rate=0.006
    {h} brake # lining : {lining} | 4 LB
    {h} brake # coil : COIL-{s} | 5
    {h} brake # drum : BDR-{s} | 10 LB
  {h} reducer{reducer}
    {h} high-speed pinion : PIN-HS-{g} | 56 LB
    {h} high-speed gear : GEAR-HS-{g} | 60 LB
    {h} intermediate pinion : PIN-IM-{g} | 64 LB
    {h} intermediate gear : GEAR-IM-{g} | 68 LB
    {h} low-speed pinion : PIN-LS-{g} | 72 LB
    {h} low-speed gear : GEAR-LS-{g} | 80 LB
    {h} reducer bearings, high speed : BRG-HS-{s} x2 | 48
    {h} reducer bearings, low speed : BRG-LS-{s} x4 | 56
    {h} reducer seals : SEAL-{s} | 20
    {h} reducer oil : OIL-220 | 3
  {h} drum : DRUM-{s} | 72 LB rate=0.002
    {h} drum shaft : DSH-{s} | 60 LB
    {h} drum bearing : DBR-{s} | 24 LB
    {h} barrel coupling : CPL-B-{s} | 48 LB
  {h} rope : ROPE-{s} | 14 LB on={rope}
  {h} rope anchors : SOCK-{s} x2 | 4 LB
  {h} upper sheave #1-3 : SHV-{s} | 14 LB rate=0.003
    {h} upper sheave # bearing : SHB-{s} | 12
  {h} equaliser : EQL-{s} | 10 LB
{h} electrics
  {h} drive : HDR-{e} | 8 on={drive}
  {h} braking resistor : BRES-{e} | 5
  {h} encoder : ENC-{e} | 4 on={drive}
  {h} line contactor : CON-63-X | 3
{h} block
"""

BLOCK = """
{b} : BLK-{s} | 16 LB rate=0.002
  {h} hook : HOOK-{s} | 14 LB
  {h} hook bearing : HKB-{s} | 10 LB
  {h} block sheave #1-2 : SHV-{s} | 12 LB
  {h} block sheave bearings : SHB-{s} x2 | 10
{u}upper limit : {limit} | 4
"""

TROLLEY = """
{t}trolley
  {t}trolley drive wheel #1-2 : TRW-D-{s} | 18
  {t}trolley drive wheel #1-2 axle : AXL-T-{s} | 20
  {t}trolley idler wheel #1-2 : TRW-I-{s} | 16
  {t}trolley idler wheel #1-2 axle : AXL-T-{s} | 18
  {t}trolley drive #1-2 : TRD-T-{s} | 8 rate=0.008
    {t}trolley drive # motor : TMO-T-{s} | 5
    {t}trolley drive # brake : TBR-T-{s} | 4
  {t}trolley travel drive : TDR-{e} | 5 on={drive}
"""

BRIDGE = """
bridge gear
  bridge drive wheel #1-4 : WHD-{s} | 20 on={wheels}
  bridge drive wheel #1-4 axle : AXL-B-{s} | 24
  bridge idler wheel #1-4 : WHI-{s} | 18
  bridge idler wheel #1-4 axle : AXL-B-{s} | 22
  bridge drive #1-4 : TRD-B-{s} | 10 rate=0.008
    bridge drive # motor : TMO-B-{s} | 6
    bridge drive # brake : TBR-B-{s} | 5
  bridge travel drive #1-2 : TDR-{e} | 5 on={drive}
power feed
  main switch : SW-{s} | 6
  main breaker : SWB-{s} | 5
  line contactor : CON-115 | 3
  conductor bar #1-4 : BAR-{bar} | 20
  collector #1-8 : COL-{bar} | 2
  trolley festoon : FES-{s} | 12
  festoon flat cable : CAB-F-{s} | 8
stop circuit
  emergency stop #1-3 : EST-22 | 2
  stop relay : REL-S | 2
bridge structure
  girder #1-2 : GIR-{s} | 80 LB
  end truck #1-2 : ETR-{s} | 64 LB
  trolley rail : RAIL-{s} x2 | 40 LB
end stops
  bridge bumper #1-4 : BUM-{bump} | 3
  trolley bumper #1-2 : BUM-80 | 2
  bridge travel limit #1-2 : TLM-X | 2
  trolley travel limit #1-2 : TLM-X | 2
  anti-collision sensor : ANTI-1 | 3
light and access
  bridge light #1-4 : LAMP-LED | 1
  horn : HORN-1 | 1
  walkway gate : WALK-1 | 4
load weighing
  load cell : CELL-{s} | 8 LB
  load amplifier : CELA-1 | 3
"""

STATION = """
operator station
  radio set : RAD-G3 | 3 on=2019-06-03
  radio battery : BAT-G3 | 0.5
  pendant : PEN-8 | 3
  crane controller : PLC-{s} | 10
  control supply : PSU-24 | 3
  control transformer : PST-1 | 3
  control relay #1-6 : REL-24 | 2
"""

PACKAGED = """
packaged hoist : PKG-8 | 24 LB
  hoist gear stage : RED-8 | 40 LB
  hoist disc brake : DISC-8 | 10 LB
  hoist motor : MOT-8 | 12
  hoist card : CARD-8 | 5
  hoist contactor #1-2 : CON-25 | 2
  rope guide : GUIDE-8 | 6
  hoist rope : ROPE-8 | 8 LB on={rope}
  rope wedge : SOCK-8 | 3 LB
  bottom hook : HOOK-8 | 8 LB
  hook bearing : HKB-8 | 6 LB
upper limit : LIM-ROT-8 | 3
trolley
  trolley wheel #1-4 : TRW-8 | 8
  trolley wheel #1-4 bearing : BRW-8 | 6
  trolley drive : TRD-T-8 | 5
  trolley motor : TMO-T-8 | 4
bridge gear
  bridge drive wheel #1-2 : WHD-8 | 12
  bridge drive wheel #1-2 bearing : BRW-8 | 10
  bridge idler wheel #1-2 : WHI-8 | 12
  bridge idler wheel #1-2 bearing : BRW-8 | 10
  bridge drive #1-2 : TRD-B-8 | 6
  bridge motor #1-2 : TMO-B-8 | 4
  bridge travel drive : TDR-8 | 4
power feed
  main switch : SW-8 | 4
  line contactor : CON-63-X | 3
  conductor bar #1-4 : BAR-4 | 14
  collector #1-4 : COL-4 | 2
  trolley festoon : FES-8 | 8
operator station
  radio set : {radio} | 3 on=2018-03-05
  radio battery : {battery} | 0.5
  pendant : PEN-6 | 3
  control supply : PSU-24 | 3
  control relay #1-3 : REL-24 | 2
stop circuit
  emergency stop #1-2 : EST-22 | 2
bridge structure
  girder : GIR-8 | 60 LB
  end truck #1-2 : ETR-8 | 40 LB
end stops
  bridge bumper #1-4 : BUM-80 | 2
  trolley bumper #1-2 : BUM-80 | 2
  bridge travel limit : TLM-X | 2
light and access
  bridge light #1-4 : LAMP-LED | 1
  horn : HORN-1 | 1
"""

CONTACTOR_CRANE = """
hoist machinery
  hoist motor : DCM-250 | 18 rate=0.02
    hoist motor brushes : BSH-250 | 3
  hoist coupling : CPL-D | 8
  hoist brake : BRK-D | 12 LB rate=0.01
    hoist brake lining : LIN-D | 4 LB
    hoist brake coil : COIL-DH | 6
    hoist brake drum : BDR-D | 12 LB
  hoist load brake : LBK-D | 40 LB
  hoist gear case
    hoist worm and wheel : WORM-D | 48 LB
    hoist worm bearings : BRG-W-D x2 | 36
    hoist gear case seals : SEAL-D | 16
    hoist gear case oil : OIL-460 | 3
  hoist open gear : OPG-D | 56 LB
  hoist open pinion : OPP-D | 48 LB
  hoist drum : DRUM-D | 72 LB rate=0.002
    hoist drum bushes : DBR-D x2 | 40 LB
  hoist rope : ROPE-D | 12 LB on=2021-05-10
  hoist rope anchors : SOCK-D x2 | 4 LB
  hoist upper sheave #1-2 : SHV-D | 16 LB rate=0.004
    hoist upper sheave # bush : SHB-D | 14
bottom block : BLK-D | 16 LB rate=0.004
  hoist hook : HOOK-D | 14 LB
  hoist hook bearing : HKB-D | 10 LB
hoist panel
  =H1-K#1-8 : DCC-150 | 4 rate=0.003
    =H1-K# contacts : TIP-150 | 1.5
  hoist overload relay : REL-O-D | 2
  hoist resistor bank #1-2 : GRID-H | 8
  hoist plugging relay : REL-P-D | 2
upper limit : LIM-LEV-D | 4
trolley
  trolley wheel #1-4 : TRW-D | 20
  trolley wheel #1-4 bush : BRW-D | 16
  trolley motor : DCM-250 | 16 rate=0.015
    trolley motor brushes : BSH-250 | 3
  trolley worm box : TRD-T-D | 16
  trolley brake : TBR-D | 6 rate=0.01
    trolley brake coil : COIL-DT | 4
bridge gear
  bridge wheel #1-4 : WHD-D | 24
  bridge wheel #1-4 bush : BRW-DB | 20
  bridge motor : DCM-250 | 16 rate=0.015
    bridge motor brushes : BSH-250 | 3
  bridge line shaft : LSH-D | 20
  bridge line shaft coupling #1-2 : CPL-LS-D | 8
  bridge open gear #1-2 : OPG-B-D | 24
  bridge brake : TBR-D | 6 rate=0.01
    bridge brake coil : COIL-DT | 4
travel panel
  =B1-K#1-6 : DCC-100 | 4 rate=0.003
    =B1-K# contacts : TIP-100 | 1.5
  =T1-K#1-4 : DCC-100 | 4 rate=0.003
    =T1-K# contacts : TIP-100 | 1.5
  bridge resistor bank : GRID-T | 8
  trolley resistor bank : GRID-T | 8
power feed
  main switch : SW-D | 6
  conductor bar #1-3 : BAR-3 | 24
  collector #1-3 : COL-3 | 3
  trolley conductor #1-3 : BAR-3T | 16
  rectifier : RECT-D | 10
  field reactor : REAC-D | 10
operator station
  hoist master switch : MSW-D | 6
  trolley master switch : MSW-D | 6
  bridge master switch : MSW-D | 6
  control relay #1-3 : REL-110 | 2
stop circuit
  emergency stop #1-2 : EST-22 | 2
bridge structure
  girder #1-2 : GIR-D | 80 LB
  end truck #1-2 : ETR-D | 64 LB
end stops
  bridge bumper #1-4 : BUM-D | 4
  trolley stop #1-2 : BUM-D | 4
  bridge travel limit : LIM-LEV-D | 3
light and access
  cab light #1-2 : LAMP-LED | 1
  horn : HORN-1 | 1
  cab door : WALK-D | 4
"""

EXTRAS = {
    # what nothing needs, or nobody knows: each is explained in data/README.md
    "A1": "second upper limit : LIM-LEV | 3\n",
    "A2": "magnet socket : CAB-M | 2\nsecond upper limit : LIM-LEV | 3\n",
    "B1": "spare motor on the bridge\n",
    "B2": "cab fan : FAN-1 | 2\n",
    "C1": "work light : LIGHT-OLD | 2\n",
    "C2": "second hook on the wall : HOOK-8 | 1\n",
    "D1": "old heater : HEAT-1 | 2\n",
    "D2": "",
}

# the operator's places of the two cranes that differ from the rest
B1_STATION = STATION.replace(
    "  pendant : PEN-8 | 3\n", "  spare radio set : RAD-G3 | 3 on=2019-06-03\n"
)
B2_STATION = STATION.replace(
    "  pendant : PEN-8 | 3\n", "  cab master switch : MSW-B2 | 8\n  cab ventilation : FAN-2 | 3\n"
)
DRUM_BRAKE = (
    "{t} drum brake : BRK-DR | 14 LB rate=0.008\n  {t} drum brake lining : LIN-250 | 5 LB\n"
)
