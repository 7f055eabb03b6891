-- A bench supply: transformer, rectifier, reservoir, outlet. What it does to what it feeds; the core looks at its own parts.

-- What lets a short through: it opens by heat alone, or not at all.
local OPEN = { "wire", "switch", "resistor", "inductor", "winding", "thermistor", "diode", "thermal-fuse" }

-- Capacitors that lie across what the rectifier gives: both their ends are reached from an outlet without crossing a transformer.
local function reservoirs(jig, outlet)
  local near = jig:reach{ from = outlet.across, through = { "wire", "fuse", "switch", "thermal-fuse", "resistor", "inductor", "diode" } }
  local list = {}
  for _, c in jig:parts("capacitor") do
    local mains = false
    for _, net in jig:nets() do mains = mains or net.mains and (net.name == c.across[1] or net.name == c.across[2]) end
    if not mains and near[c.across[1]] and near[c.across[2]] then table.insert(list, c) end
  end
  return list
end

local function rectifiers(jig)
  return #jig:parts("bridge") + #jig:parts("diode") + #jig:parts("psu")
end

-- The volts between the terminals with each load that is no short, on low mains; solved once for all that is asked of them.
local function with_loads(jig, outlet)
  local list = {}
  for _, load in outlet.values do
    if load.kind == "short" or load.kind == "charged" then continue end
    local s = jig:solve{ supply = "low", loads = { [outlet.name] = load.label }, between = { outlet.across } }
    if s then table.insert(list, { load = load, volts = s.between[1] }) end
  end
  return list
end

local function ripple(found, outlet, list)
  local value, load
  for _, one in list do
    local mean = math.abs(one.volts.voltage_mean)
    if one.load.kind == "open" or mean == 0 then continue end
    local share = (one.volts.voltage_max - one.volts.voltage_min) / mean
    if value == nil or share > value then value, load = share, one.load.label end
  end
  local most = limit("ripple")
  if value == nil or value <= most then return end
  table.insert(found, notice{
    check = "ripple",
    message = string.format("with %s on %s the volts swing by %.0f %% of their mean: what is fed hums, and a regulator behind it drops out in each trough", load, outlet.name, 100 * value),
    remedy = string.format("take %.1f times the capacitance, or draw so much less", value / most),
    nets = table.clone(outlet.across), line = outlet.line, condition = "mains low, " .. outlet.name .. " " .. load, quantity = "ripple over mean", value = value,
  })
end

local function open_volts(found, jig, outlet)
  local stands = jig.settings.stands
  if stands <= 0 then return end
  local label
  for _, load in outlet.values do
    if load.kind == "open" then label = load.label end
  end
  local s = jig:solve{ supply = "high", loads = if label then { [outlet.name] = label } else nil, between = { outlet.across } }
  if s == nil then return end
  local volts = s.between[1].voltage_peak
  if volts / stands <= limit("open-volts") then return end
  table.insert(found, caution{
    check = "open-volts",
    message = string.format("%s on %s, and what it feeds stands %s: it dies before it draws anything", format(volts, "V"), outlet.name, format(stands, "V")),
    remedy = "take a transformer of fewer volts, a regulator, or a load that stays on",
    nets = table.clone(outlet.across), line = outlet.line, condition = "mains high, nothing plugged in", quantity = "open volts over what is fed stands", value = volts / stands,
  })
end

-- What empties a reservoir with nothing plugged in: resistors alone are counted on, since a lamp or an LED goes dark and stops.
local function stays_charged(found, jig, outlet)
  local seconds = 60
  for _, c in reservoirs(jig, outlet) do
    local siemens = jig:divider(c.across[1], c.across[2]).siemens
    local left = math.exp(-seconds * siemens / c.capacitance)
    if left > limit("stays-charged") then
      table.insert(found, notice{
        check = "stays-charged",
        message = string.format("a minute after the plug is pulled %s still holds %.0f %% of its volts: the next thing connected gets them in one blow", c.name, 100 * left),
        remedy = string.format("put a resistor of %s or less across %s", format(20 / c.capacitance, "Ω"), c.name),
        parts = { c.name }, condition = "switched off, nothing plugged in", quantity = "volts left over those before", value = left,
      })
    end
  end
end

-- Both ends of a reservoir lead to the terminals of an outlet through nothing that opens in time; the walk from one end stops at
-- the other.
local function output_fuse(found, jig, outlet)
  local a, b = outlet.across[1], outlet.across[2]
  for _, c in reservoirs(jig, outlet) do
    local one = jig:reach{ from = c.across[1], through = OPEN, stop_at = c.across[2] }
    local two = jig:reach{ from = c.across[2], through = OPEN, stop_at = c.across[1] }
    local function led(nets, net, far) return nets[net] and net ~= far end
    local straight = led(one, a, c.across[2]) and led(two, b, c.across[1])
    local crossed = led(one, b, c.across[2]) and led(two, a, c.across[1])
    if straight or crossed then
      table.insert(found, caution{
        check = "no-output-fuse",
        message = string.format("nothing opens between %s and %s: a slip of a clip takes all that it holds, and the transformer then heats until the fuse before it thinks about it", c.name, outlet.name),
        remedy = "put a fuse of a little more than the largest load behind the reservoir",
        parts = { c.name }, nets = table.clone(outlet.across), line = outlet.line, condition = outlet.name .. " shorted",
      })
      return
    end
  end
end

local function reversed(found, outlet, list)
  for _, one in list do
    local back = -one.volts.voltage_min
    if back > limit("reversed") then
      table.insert(found, warning{
        check = "reversed",
        message = string.format("the first terminal of %s, which is to be plus, goes %s below the second: electrolytics in what is fed burst", outlet.name, format(back, "V")),
        remedy = "write the plus terminal first; where it is, put the rectifier the other way round",
        nets = table.clone(outlet.across), line = outlet.line, condition = "mains low, " .. outlet.name .. " " .. one.load.label, quantity = "volts the wrong way round", value = back,
      })
      return
    end
  end
end

return {
  check = function(jig)
    local found, judged = {}, 0
    for _, outlet in jig:outlets() do
      local list = with_loads(jig, outlet)
      if rectifiers(jig) > 0 and (#reservoirs(jig, outlet) > 0 or #jig:parts("psu") > 0) then
        judged += 1
        ripple(found, outlet, list)
        stays_charged(found, jig, outlet)
        output_fuse(found, jig, outlet)
      end
      open_volts(found, jig, outlet)
      reversed(found, outlet, list)
    end
    if judged == 0 then
      table.insert(found, caution{
        check = "no-rectifier",
        message = "the file states no rectifier with a reservoir that feeds an outlet, so ripple, charge and fuse of the d.c. side were not judged",
        remedy = "write the bridge or the diodes, the reservoir and the [[outlet]] as parts", condition = "as written",
      })
    end
    return found
  end,
}
