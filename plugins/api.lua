---@meta
-- What check.lua sees, API level 1, for editors that read LuaLS annotations. All values are in SI base units: ohms, farads,
-- volts, amperes, watts, seconds, metres, square metres, hertz, degrees Celsius. A field marked with ? is missing (nil) where
-- the jig file says nothing; a field that is not listed here is an error, not nil. Rows are for reading only.

---The supply of the jig.
---@class Supply
---@field mains boolean whether there is mains at all; the other fields of the mains are missing where it is false
---@field system? string name of the mains system, like "230 V 50 Hz"
---@field low? number lowest volts r.m.s.
---@field nominal? number nominal volts r.m.s.
---@field high? number highest volts r.m.s.
---@field frequency? number hertz
---@field both_live? boolean whether both pins are live (line to line)
---@field fixed boolean whether the jig is wired in, without a plug
---@field plug? string letter of the plug
---@field live_pin_assured? boolean whether the plug goes in one way round only
---@field earth_pin? boolean whether the plug has an earth
---@field plug_fuse? number amperes of the fuse in the plug
---@field breaker? number amperes of the breaker in the wall
---@field rcd? number amperes at which the residual-current device trips
---@field rcd_type? string what the residual-current device sees: "AC", "A" or "B"
---@field cord? Cord

---The mains cord.
---@class Cord
---@field area? number cross-section of a conductor, square metres
---@field length? number metres
---@field cores? number
---@field strain_relief? boolean

---The enclosure.
---@class Enclosure
---@field material? string "insulating", "metal" or "open"
---@field class? string "I", "II" or "III"
---@field opens_with? string "tool" or "hand"
---@field painted? boolean whether the metal outside is painted
---@field vents? number square metres of openings low in it, with as much high in it
---@field size? number[] metres

---A part. Which fields it has depends on its kind; the words are those of the jig file, with _ for -.
---@class Part
---@field name string
---@field kind string as in the jig file, like "resistor"
---@field line number line of the jig file
---@field nets string[] every net it is joined to
---@field items string[] its names in a solution: its own, or those of its contacts, windings, arms
---@field across? string[] its two ends, where it has two
---@field resistance? number resistor, inductor, winding, load
---@field tolerance? number resistor, capacitor: a share, 0.05 for 5 %
---@field power? number rated watts; of a load or filament lamp, the watts it takes
---@field voltage? number rated volts
---@field flameproof? boolean resistor
---@field fusible? boolean resistor
---@field place? string of what gives off heat: "inside" or "outside" of the box
---@field on? string thermal fuse: the part it sits on
---@field capacitance? number capacitor; transformer: between its windings
---@field dc_voltage? number capacitor; fuse, switch: d.c. volts that it breaks
---@field ac_voltage? number capacitor: a.c. volts of one that is rated for d.c.
---@field ripple? number capacitor: amperes
---@field charged? number capacitor: volts it may be charged to
---@field class? string capacitor: "X1" to "X3", "Y1" to "Y4", "P0" to "P2"
---@field polarised? boolean capacitor
---@field inductance? number inductor, winding, transformer
---@field current? number rated amperes
---@field forward? number diode, bridge, LED: volts
---@field surge? number diode, bridge: amperes
---@field peak_current? number LED
---@field reverse? number LED: volts
---@field series? number LED: how many in series
---@field breakdown? number suppressor: volts
---@field bidirectional? boolean suppressor
---@field strike? number neon lamp: volts
---@field core? string transformer: how its iron is built
---@field regulation? number transformer: rise of its volts from full load to none, as a fraction
---@field loss? number transformer: watts its iron loses
---@field short_circuit_proof? boolean transformer
---@field thermal_link? number transformer: °C at which a link in its windings opens
---@field screen? string transformer: net of its screen
---@field extinguish? number neon lamp: volts at which it goes out
---@field extinguish_current? number neon lamp: amperes below which it goes out
---@field strike_max? number neon lamp: volts in the dark, at the end of its life
---@field maintain? number neon lamp: volts
---@field max_current? number neon lamp
---@field type? string neon lamp, socket
---@field volts? number filament lamp, power supply
---@field cold_ratio? number filament lamp: hot over cold resistance
---@field breaking? number fuse: amperes it can break
---@field speed? string fuse: "F", "T" and so on
---@field slope? number diode, bridge, LED, neon lamp: ohms by which its volts rise
---@field temperature_class? string winding
---@field temperature? number thermal fuse, wire
---@field energy? number varistor: joules
---@field cold? number thermistor: ohms
---@field hot? number thermistor: ohms
---@field insulation? string transformer: "functional" to "reinforced"
---@field primary? Winding transformer
---@field secondaries? Winding[] transformer
---@field ac? string[] bridge: nets
---@field plus? string bridge: net
---@field minus? string bridge: net
---@field positions? Position[] switch
---@field coil? string switch: the winding that works its contacts
---@field input? string[] power supply: nets
---@field output? string[] power supply: nets
---@field selv? boolean power supply
---@field limit? number power supply: amperes at which it limits itself
---@field power_factor? number load
---@field area? number wire: square metres
---@field length? number wire: metres
---@field colour? string wire
---@field screened? boolean wire
---@field shrouded? boolean socket
---@field exposed_pins? boolean socket
---@field earth? string socket: net of its earth contact

---A winding of a transformer.
---@class Winding
---@field name string
---@field across string[]
---@field volts? number
---@field no_load? number volts without load
---@field resistance? number ohms of its copper

---A position of a switch.
---@class Position
---@field name string "on" and "off" for a switch of poles
---@field joins string[][] pairs of nets

---@class Net
---@field name string
---@field ends number how many ends of parts are joined to it
---@field mains boolean whether it is joined to the mains by something that conducts
---@field touchable boolean

---@class Outlet
---@field name string
---@field across string[]
---@field loads string[] labels of what may be plugged in, for solve
---@field values Load[] the same with their numbers, in the same order
---@field isolated boolean
---@field line number

---What may be plugged in.
---@class Load
---@field label string
---@field kind string "open", "short", "power", "resistance" or "charged" (a capacitor)
---@field power? number watts
---@field resistance? number ohms
---@field capacitance? number farads
---@field charged? number volts

---@class Touchable
---@field name string
---@field net string
---@field line number

---Insulation that the jig file states.
---@class Insulation
---@field grade string "functional", "basic", "supplementary", "double" or "reinforced"
---@field clearance? number metres
---@field creepage? number metres
---@field line number

---The worst that happens to a part.
---@class Stress
---@field value number
---@field unit string
---@field condition string the condition in which it is worst
---@field kind string "normal", "single-fault" or "transient"
---@field nominal? number the same at nominal supply, without a fault
---@field rating? number what it may bear there: less than printed where the box is hot, down to 0
---@field margin? number rating over value

---The worst that a hand meets.
---@class Touch
---@field voltage_rms number
---@field voltage_peak number
---@field voltage_dc number
---@field current_rms number
---@field current_peak number
---@field condition string
---@field kind string

---How a lamp lights in normal use.
---@class Lamp
---@field flashes_per_second number
---@field lit_fraction number share of the time
---@field on_deg number[] degrees of the mains cycle at which it strikes
---@field off_deg number[] degrees at which it goes out
---@field strike_margin? number highest volts over the striking volts

---What a what-if came to: until something opens, and what lasts.
---@class Solution
---@field parts table<string, PartState> by name of the part; a winding is T1.primary
---@field nets table<string, NetState>
---@field touch table<string, TouchState>
---@field outlets table<string, OutletState> what is plugged in, by name of the outlet
---@field between BetweenState[] volts between the pairs of nets that were asked for
---@field waves table<string, number[]> amperes of the parts that were asked for, at 256 instants evenly over a period
---@field period number seconds of what repeats, 0 without mains
---@field held? HeldState what flows through the body that was asked for
---@field opens Opening[] protective devices that open
---@field after? State what lasts once something has opened

---@class State
---@field parts table<string, PartState>
---@field nets table<string, NetState>
---@field touch table<string, TouchState>
---@field outlets table<string, OutletState> what is plugged in, by name of the outlet
---@field between BetweenState[] volts between the pairs of nets that were asked for
---@field waves table<string, number[]> amperes of the parts that were asked for, at 256 instants evenly over a period
---@field period number seconds of what repeats, 0 without mains
---@field held? HeldState what flows through the body that was asked for

---@class PartState
---@field power number
---@field voltage_rms number
---@field voltage_peak number
---@field current_rms number
---@field current_mean number
---@field current_peak number

---@class NetState
---@field voltage_rms number against earth
---@field voltage_peak number
---@field voltage_mean number

---@class OutletState
---@field voltage_rms number
---@field voltage_peak number
---@field voltage_mean number
---@field current_rms number
---@field current_peak number
---@field current_mean number
---@field power number

---@class BetweenState
---@field voltage_rms number of the first net against the second
---@field voltage_peak number either way
---@field voltage_mean number
---@field voltage_max number
---@field voltage_min number

---@class HeldState
---@field current_rms number
---@field current_peak number
---@field current_mean number

---@class TouchState
---@field voltage_rms number
---@field voltage_peak number
---@field voltage_dc number
---@field current_rms number
---@field current_peak number

---@class Opening
---@field device string
---@field within number seconds
---@field amperes number

---What is to be solved. Nothing said: highest supply, no fault, switches on, first loads.
---@class Wish
---@field supply? string|number "low", "nominal", "high" or volts r.m.s.
---@field plug? string "as wired" or "reversed"
---@field faults? string[] names as jig:faults() lists them
---@field switches? table<string, string> position by switch
---@field loads? table<string, string> label by outlet
---@field change? table<string, table<string, number>> values by part and key
---@field join? string[][] pairs of nets that a wire joins
---@field hold? string|string[] a net that somebody holds, the other hand on earth; or two nets, one in each hand
---@field cold? boolean whether filaments and inrush limiters are at their cold resistance
---@field between? string[][] pairs of nets between which the volts are wanted
---@field waves? string[] parts of which the current is wanted instant by instant

---What is charged and put on, and how long it is followed. Nothing said: as stated, for a minute.
---@class PutOn
---@field turned? boolean the other way round
---@field charged? number volts in place of those that are stated
---@field falls_below? number volts at which it ends
---@field seconds? number 0 to 60; 0 is the first instant
---@field supply? string|number as in a wish
---@field plug? string
---@field faults? string[]
---@field switches? table<string, string>
---@field loads? table<string, string> an outlet that is not named is open; the first loads, where none is
---@field change? table<string, table<string, number>>
---@field join? string[][]
---@field hold? string|string[]
---@field cold? boolean
---@field between? string[][]

---A discharge that was followed.
---@class Discharge
---@field seconds number when it ended
---@field left number volts left on what was charged
---@field current_peak number highest amperes out of it
---@field parts table<string, Taken> by name of the part
---@field between number[] volts at the end between the pairs of nets that were asked for

---What a part took meanwhile.
---@class Taken
---@field energy number joules
---@field voltage_peak number
---@field current_peak number
---@field current_forward number from its first end to its second
---@field power_peak number watts at most: the crests of volts and amperes together
---@field i2t number ampere squared seconds

---Where a walk through the wiring starts, what it goes through and where it ends. Nets: one name, a list of names, or a table
---in which each name is true, as reach gives it.
---@class Reach
---@field from string|string[]|table<string, boolean> nets it starts from; they count as reached
---@field through? string|string[] kinds of part as in the jig file, and "outlet" for what is plugged in; "anything" for all of them; wire, fuse, thermal-fuse and switch where nothing is said
---@field stop_at? string|string[]|table<string, boolean> nets it reaches and does not go on from
---@field switches? table<string, string> position by switch; the rest on; every contact closed, where nothing is said
---@field except? string|string[] parts and outlets it does not go through

---One volt from a net to another, divided by the resistances there are.
---@class Divider
---@field siemens number between the two
---@field volts table<string, number> of each net against the second; missing where nothing leads there

---What a ring of bars shows under a flashing lamp.
---@class Ring
---@field flashes number flashes a second
---@field advance? number bars that go by between two flashes; missing, as the next four, without bars, a speed and flashes
---@field whole? number the whole number of bars next to that, at least 1: with it the ring stands still
---@field still? number turns a minute at which it does
---@field off? number how far that is off the ring's own turns a minute, as a share of them
---@field best? number bars of the ring that moves on by one bar a flash
---@field smear? number how far a bar moves while the lamp is lit, in widths of a bar
---@field lit? number seconds a flash lasts
---@field bright? number seconds of it above half its brightest; missing where the lamp flashes at a pace of its own
---@field filled? number mean of the light over its crest: 1 is steady
---@field mean? number amperes, the most that any of the lamps carries, instant by instant
---@field crest? number the same at its highest
---@field contrast? number what is left of the contrast of the bars: 1 is all of it

---What is asked of a ring: either flashes, or lamps that are solved.
---@class RingWish
---@field bars? number of the ring
---@field rpm? number turns a minute it is made for
---@field flashes? number flashes a second, where no lamp is solved
---@field lit? number seconds a flash lasts, with flashes
---@field lamps? string[] glow lamps and LEDs whose light is solved
---@field supply? string|number "low", "nominal" (where nothing is said), "high", or volts r.m.s.
---@field switches? table<string, string> switch and position; on where nothing is said
---@field loads? table<string, string> outlet and load

---What a finding says.
---@class FindingFields
---@field check string a name that plugin.toml declares
---@field message string what it means, in one sentence
---@field remedy string what to change
---@field parts? string[]
---@field nets? string[]
---@field touchables? string[]
---@field condition? string
---@field quantity? string
---@field value? number
---@field unit? string that of the limit in plugin.toml, and may differ only where `limit` is given too
---@field limit? number the limit of plugin.toml, where it is left out and there is a value
---@field source? string the source of plugin.toml, where it is left out
---@field line? number line of the jig file; that of the first part, where it is left out

---A finding that was made. Only these can be given back.
---@class Finding
---@field check string
---@field signal string
---@field number number

---The jig.
---@class Jig
---@field name string
---@field unit string
---@field use string "hand-held", "bench" or "fixed"
---@field supply Supply
---@field enclosure Enclosure
---@field settings table<string, number|string|boolean> what the jig file sets, else the defaults of plugin.toml
local Jig = {}

---Parts in the order of the file: all, or those of one kind.
---@param kind? string
---@return Part[]
function Jig:parts(kind) end

---@param name string
---@return Part?
function Jig:part(name) end

---@return Net[]
function Jig:nets() end

---Whether wires, fuses (thermal ones, too) and closed switches join two nets.
---@param a string
---@param b string
---@param switches? table<string, string> position by switch; on, where nothing is said
---@return boolean
function Jig:joined(a, b, switches) end

---Nets that a walk reaches, each true; what is not reached is nil. A switch, bridge, transformer or power supply is gone
---through from terminal to terminal as it conducts: no walk crosses the insulation of a transformer.
---@param wish Reach
---@return table<string, boolean>
function Jig:reach(wish) end

---One volt between two nets, divided. Coils by the resistance of their wire, thermistors and filaments cold, loads where
---their resistance is stated; wires, fuses, closed switches, diodes and a bridge (one way) count as joined; LEDs, glow lamps,
---varistors and suppressors are dark, capacitors charged. A net that hangs on nothing else stands with the second net.
---@param a string
---@param b string
---@param switches? table<string, string> position by switch; on, where nothing is said
---@return Divider
function Jig:divider(a, b, switches) end

---@return Outlet[]
function Jig:outlets() end

---@return Touchable[]
function Jig:touchables() end

---What the jig file states between two nets; "mains" stands for all nets on the mains.
---@param a string
---@param b string
---@return Insulation?
function Jig:insulation(a, b) end

---The worst of all that lasts, or of one kind of condition: "normal", "single-fault", "transient".
---@param part string
---@param quantity "power"|"voltage_rms"|"voltage_peak"|"current_rms"|"current_mean"|"current_peak"
---@param kind? string
---@return Stress?
function Jig:stress(part, quantity, kind) end

---@param touchable string
---@param kind? string
---@return Touch?
function Jig:touch(touchable, kind) end

---Volts left between two nets some seconds after the plug is pulled; counts as a solution.
---@param a string
---@param b string
---@param seconds number 0 to 60
---@param wish? Wish one setting; the worst of all of them, where nothing is said
---@return number
function Jig:discharge(a, b, seconds, wish) end

---Puts on what is charged (a load of an outlet, or a capacitor that is stated to be) in one setting, and follows it; counts as a
---solution. Filaments stay cold.
---@param wish PutOn
---@return Discharge
function Jig:put_on(wish) end

---@param part string
---@return Lamp?
function Jig:lamp(part) end

---Names of the single faults, for solve.
---@return string[]
function Jig:faults() end

---A what-if through the real solver; at most 300 a run, look-ups aside.
---@param wish Wish
---@return Solution?
function Jig:solve(wish) end

---A ring of bars under a lamp that flashes: when it stands still. Everything above zero. With a table, the light of lamps as solved.
---@overload fun(self: Jig, wish: RingWish): Ring
---@param bars number
---@param rpm number turns a minute it is made for
---@param flashes number flashes a second
---@return Ring
function Jig:ring(bars, rpm, flashes) end

---The limit of a check in plugin.toml, a number of [numbers] there, or a number of the program's published tables by the name that `deadfront why` shows:
---value, unit ("" for a plain number), source.
---@param name string
---@return number
---@return string
---@return string
function limit(name) end

---A text with its unit as a number in SI base units: quantity("4k7 Ω") is 4700.
---@param text string
---@return number
function quantity(text) end

---A number as a reader wants it: format(4700, "Ω") is "4.7 kΩ".
---@param value number
---@param unit string
---@return string
function format(value, unit) end

---Joules that one pulse may put into a resistor, and where that is published. The pulse has so many joules, a crest of so many watts,
---and is over after so many seconds.
---@param watts number rated watts of the resistor
---@param ohms number
---@param joules number
---@param crest number
---@param seconds number
---@return number
---@return string
function pulse_energy(watts, ohms, joules, crest, seconds) end

---Death or serious injury, if it is not avoided.
---@param fields FindingFields
---@return Finding
function danger(fields) end

---Could be death or serious injury.
---@param fields FindingFields
---@return Finding
function warning(fields) end

---Minor or moderate injury.
---@param fields FindingFields
---@return Finding
function caution(fields) end

---Damage, or a thing to know.
---@param fields FindingFields
---@return Finding
function notice(fields) end
