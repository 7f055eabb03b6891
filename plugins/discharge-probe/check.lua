-- A probe that discharges capacitors: how soon it is done, what its lamps tell, both ways round, what one discharge and many do to
-- its resistors, and how hard it bites.

-- What is discharged: nets, farads, volts.
local function charges(jig)
  local list = {}
  for _, outlet in jig:outlets() do
    for _, label in outlet.loads do
      local farads, volts = string.match(label, "^(.-)%s+charged%s+(.+)$")
      if farads then
        table.insert(list, { across = outlet.across, farads = quantity(farads), volts = quantity(volts), name = label, line = outlet.line })
      end
    end
  end
  for _, part in jig:parts("capacitor") do
    if part.charged then
      table.insert(list, { across = part.across, farads = part.capacitance, volts = part.charged, name = part.name, line = part.line })
    end
  end
  return list
end

-- Every way the switches can stand, with its words; past what can be tried, the rest stands at its first position.
local function settings(jig)
  local list = { { switches = {}, words = {} } }
  for _, switch in jig:parts("switch") do
    local longer, many = {}, #list * #switch.positions <= 16
    for _, set in list do
      for k, position in switch.positions do
        if k > 1 and not many then break end
        local one = { switches = table.clone(set.switches), words = table.clone(set.words) }
        one.switches[switch.name] = position.name
        table.insert(one.words, switch.name .. " at " .. position.name)
        table.insert(longer, one)
      end
    end
    list = longer
  end
  return list
end

-- Keeps the worst of each check and part over all charges and settings. `say` words the message for the parts it is about.
local function keep(found, key, size, make, fields, say)
  local old = found[key]
  if old and old.size >= size then return end
  if not old then table.insert(found, key) end
  found[key] = { size = size, make = make, fields = fields, say = say }
end

-- Resistors that take the same, to what is printed, in the same condition are told together.
local function together(found)
  local out = {}
  for k = 1, #found do
    local one, twin = found[found[k]], nil
    local mine = one.fields
    for _, other in out do
      local theirs = other.fields
      if one.say and mine.check == theirs.check and mine.condition == theirs.condition and mine.limit == theirs.limit
        and math.abs(mine.value - theirs.value) <= 1e-3 * mine.value then twin = theirs end
    end
    if twin then table.insert(twin.parts, mine.parts[1]) else table.insert(out, one) end
  end
  local made = {}
  for _, one in out do
    local parts = one.fields.parts
    if one.say then one.fields.message = one.say((if #parts > 1 then "each of " else "") .. table.concat(parts, ", ")) end
    table.insert(made, one.make(one.fields))
  end
  return made
end

local function soon(found, jig, charge, held, left)
  local most, unit = limit("too-slow")
  if left <= most then return end
  keep(found, "too-slow" .. charge.across[1] .. charge.across[2], left, warning, {
    check = "too-slow",
    message = string.format("%s after the probe is put on, %s are left on what it discharges (%s)", format(jig.settings.seconds, "s"), format(left, unit), charge.name),
    remedy = "lower the total resistance of the probe, or write on it how long it has to be held and set [plugin.discharge-probe] seconds to that",
    nets = { charge.across[1], charge.across[2] }, line = charge.line, condition = charge.name .. held, quantity = "volts left", value = left,
  })
end

-- Volts of diodes and bridges in the way of a lamp.
local function drop(jig, lamp)
  local volts = 0
  for _, part in jig:parts("diode") do
    if table.find(lamp.across, part.across[1]) or table.find(lamp.across, part.across[2]) then volts = math.max(volts, part.forward or 0) end
  end
  for _, part in jig:parts("bridge") do volts = math.max(volts, 2 * (part.forward or 0)) end
  return volts
end

-- Lamps that tell of charge on these nets, with the volts below which each stays dark, and which ways round it lights.
local function lamps(jig, volts)
  local list, bridged = {}, #jig:parts("bridge") > 0
  for _, kind in { "led", "neon-lamp", "filament-lamp" } do
    for _, part in jig:parts(kind) do
      local share = (volts[part.across[1]] or 0) - (volts[part.across[2]] or 0)
      if math.abs(share) < 1e-6 then continue end
      local needs = if kind == "led" then part.forward * part.series + drop(jig, part)
        elseif kind == "neon-lamp" then part.strike_max or part.strike
        else part.volts * limit("filament-lamp")
      local both = kind ~= "led" or bridged
      table.insert(list, { part = part, dark = needs / math.abs(share), needs = needs, ahead = both or share > 0, back = both or share < 0 })
    end
  end
  return list
end

local function told(found, jig, charge, held, volts)
  local list = lamps(jig, volts)
  if #list == 0 then
    keep(found, "no-indication", charge.volts, caution, {
      check = "no-indication",
      message = string.format("nothing on the probe lights on %s: nobody sees that there was charge, or that the probe touched it at all", charge.name),
      remedy = "put two LEDs, one each way round, with a resistor across the lowest part of the chain",
      nets = { charge.across[1], charge.across[2] }, condition = charge.name .. held,
    })
    return
  end
  local ahead, back, worst = false, false, list[1]
  for _, lamp in list do
    ahead, back = ahead or lamp.ahead, back or lamp.back
    if lamp.dark < worst.dark then worst = lamp end
  end
  local name = worst.part.name
  if ahead ~= back then
    keep(found, "one-polarity", 0, caution, {
      check = "one-polarity",
      message = string.format("%s lights for one polarity only: put on the other way round the probe stays dark on a charged capacitor", name),
      remedy = "add a second LED the other way round beside it", parts = { name }, condition = "probe put on the other way round" .. held,
    })
  end
  if worst.part.kind == "filament-lamp" then
    keep(found, "filament-lamp", 0, notice, {
      check = "filament-lamp",
      message = string.format("%s is a filament lamp: it stays dark on little charge and on few volts, so dark is no proof", name),
      remedy = "put two LEDs, one each way round, with a resistor beside it, or measure each time",
      parts = { name }, condition = "little charge, or the end of a discharge",
    })
  end
  -- Charges that never reach the limit cannot be mistaken.
  local few, many, sees = limit("dark-above-60"), limit("dark-too-early"), math.min(worst.dark, charge.volts)
  if sees > many then
    keep(found, "dark", sees, warning, {
      check = "dark-too-early",
      message = string.format("%s is dark below %s: a dark lamp is taken for a discharged capacitor, and what is left can kill", name, format(worst.dark, "V")),
      remedy = if worst.needs > few then "use a lamp that lights on fewer volts, such as an LED each way round"
        else string.format("let the lamp see more of the chain: at least 1/%d of the volts between the tips", math.floor(few / worst.needs)),
      parts = { name }, condition = "while it discharges" .. held, quantity = "volts at which the lamp goes dark", value = worst.dark,
    })
  elseif sees > few then
    keep(found, "dark", sees, notice, {
      check = "dark-above-60",
      message = string.format("%s goes dark at %s, a little above what may be touched: dark is no proof", name, format(worst.dark, "V")),
      remedy = "hold the probe on as long again after the lamp has gone dark, then measure",
      parts = { name }, condition = "while it discharges" .. held, quantity = "volts at which the lamp goes dark", value = worst.dark,
    })
  end
end

local function energy(found, jig, charge, held, volts, siemens)
  local joules = charge.farads * charge.volts ^ 2 / 2
  local most, _, source = limit("pulse-energy")
  for _, part in jig:parts("resistor") do
    if part.power == nil then continue end
    local gets = joules * ((volts[part.across[1]] or 0) - (volts[part.across[2]] or 0)) ^ 2 / part.resistance / siemens
    if gets > most * part.power then
      keep(found, "pulse-energy" .. part.name, gets, warning, {
        check = "pulse-energy",
        remedy = string.format("use a wire-wound resistor of %s or more, or more of them in series", format(gets / most, "W")),
        parts = { part.name }, condition = charge.name .. held, quantity = "energy of one discharge", value = gets, unit = "J", limit = most * part.power, source = source,
      }, function(parts)
        return string.format("one discharge of %s puts %s into %s, rated %s: a resistor can crack, open, and leave the capacitor charged under a probe that looks whole",
          charge.name, format(gets, "J"), parts, format(part.power, "W"))
      end)
    end
    local mean = gets * jig.settings.per_minute / 60
    if mean > part.power then
      keep(found, "repeated" .. part.name, mean, caution, {
        check = "repeated",
        remedy = string.format("use a resistor of %s or more, or allow it %.2g discharges a minute", format(mean, "W"), jig.settings.per_minute * part.power / mean),
        parts = { part.name }, condition = charge.name .. held, quantity = "mean power", value = mean, unit = "W", limit = part.power,
      }, function(parts)
        return string.format("%g discharges of %s a minute heat %s with %s; the rating is %s", jig.settings.per_minute, charge.name, parts, format(mean, "W"), format(part.power, "W"))
      end)
    end
  end
end

local function bite(found, jig, charge, held, siemens)
  local amperes, most, unit, source = charge.volts * siemens, limit("spark")
  if amperes <= most then return end
  local draws = if siemens > 1e3 then "what the wires let through" else format(amperes, "A")
  keep(found, "spark", amperes, caution, {
    check = if #jig:parts("filament-lamp") > 0 then "cold-lamp" else "spark",
    message = string.format("put on %s the probe draws %s at once: it spits at the tip, pits it, and strains the capacitor", charge.name, draws),
    remedy = string.format("raise the resistance of the probe to %s or more", format(charge.volts / most, "Ω")),
    nets = { charge.across[1] }, line = charge.line, condition = charge.name .. held, quantity = "first current", value = amperes, unit = unit, limit = most, source = source,
  })
end

-- A position at which nothing is discharged, though another does it.
local function dead(found, charge, held)
  keep(found, "dead-position", charge.volts, caution, {
    check = "dead-position",
    message = string.format("the probe discharges nothing of %s%s: it feels used and the capacitor is as it was", charge.name, held),
    remedy = "take the switch out, or let it choose between two ways that both discharge",
    nets = { charge.across[1] }, line = charge.line, condition = charge.name .. held,
  })
end

-- One charge at every position of the switches.
local function judged(found, jig, charge, list, left)
  local seconds, ways, off = jig.settings.seconds, {}, nil
  for _, set in list do
    local held = if #set.words > 0 then ", " .. table.concat(set.words, ", ") else ""
    local way = jig:divider(charge.across[1], charge.across[2], set.switches)
    -- Beyond a hundred megohms there is no way at all.
    if way.siemens > 1e-8 then table.insert(ways, { held = held, volts = way.volts, siemens = way.siemens }) else off = held end
  end
  if off and #ways > 0 then dead(found, charge, off) end
  for _, way in ways do
    -- A lit lamp draws, too, which only the solver knows; it does not know which charge and position is meant.
    local alone = charge.volts * math.exp(-seconds * way.siemens / charge.farads)
    soon(found, jig, charge, way.held, if off or alone <= limit("too-slow") then alone else math.min(alone, left))
    told(found, jig, charge, way.held, way.volts)
    energy(found, jig, charge, way.held, way.volts, way.siemens)
    bite(found, jig, charge, way.held, way.siemens)
  end
  if #ways == 0 then soon(found, jig, charge, "", left) end
end

return {
  check = function(jig)
    local found, seconds = {}, jig.settings.seconds
    if seconds <= 0 or seconds > 60 then error(string.format("[plugin.discharge-probe] seconds is above 0 and at most 60, not %g", seconds)) end
    if jig.settings.per_minute < 0 then error("[plugin.discharge-probe] per_minute is 0 or more") end
    local list = charges(jig)
    if #list == 0 then
      return { caution{
        check = "nothing-to-discharge",
        message = "the file does not say what the probe is for, so neither its speed nor its resistors can be judged",
        remedy = "add [[outlet]] with across = [tip, clip] and loads like \"100 uF charged 400 V\"", condition = "as written",
      } }
    end
    for _, charge in list do
      judged(found, jig, charge, settings(jig), jig:discharge(charge.across[1], charge.across[2], seconds))
    end
    return together(found)
  end,
}
