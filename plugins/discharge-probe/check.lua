-- A probe that discharges capacitors: how soon it is done, what its lamps tell, both ways round, what one discharge and many do to
-- its resistors, and how hard it bites.

-- What is discharged: nets, farads, volts, and the load that puts it on; nothing else is put on meanwhile.
local function charges(jig)
  local list, open = {}, {}
  for _, outlet in jig:outlets() do
    for _, load in outlet.values do
      if load.kind == "charged" then
        table.insert(list, { across = outlet.across, farads = load.capacitance, volts = load.charged, name = load.label, line = outlet.line, loads = { [outlet.name] = load.label } })
      else
        open[outlet.name] = load.label
      end
    end
  end
  for _, part in jig:parts("capacitor") do
    if part.charged then
      table.insert(list, { across = part.across, farads = part.capacitance, volts = part.charged, name = part.name, line = part.line, loads = open })
    end
  end
  return list
end

-- Every way the switches can stand, with its words; past what can be tried, the rest stands at its first position.
local function settings(jig, most)
  local list = { { switches = {}, words = {} } }
  for _, switch in jig:parts("switch") do
    local longer, many = {}, #list * #switch.positions <= most
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
      if one.say and mine.check == theirs.check and mine.condition == theirs.condition and math.abs((mine.limit or 0) - (theirs.limit or 0)) <= 1e-3 * (mine.limit or 0)
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

-- One charge put on: with the switches so, one way round or the other, at so many volts.
local function put(jig, way, more)
  local wish = { loads = way.charge.loads, switches = way.switches, turned = way.turned, change = way.worst }
  for key, value in more do wish[key] = value end
  return jig:put_on(wish)
end

-- Whether a lamp is lit at the first instant of that many volts: a filament by its share of them, others by their current.
local function lit(run, lamp)
  local row = run.parts[lamp.name]
  if lamp.kind == "filament-lamp" then return row.voltage_peak >= limit("filament-lamp") * lamp.volts end
  return (if lamp.kind == "led" then row.current_forward else row.current_peak) >= limit("lit")
end

-- Lamps that light on the whole charge.
local function lamps(jig, way, run)
  local list = {}
  for _, kind in { "led", "neon-lamp", "filament-lamp" } do
    for _, part in jig:parts(kind) do
      if lit(run, part) then table.insert(list, part) end
    end
  end
  return list
end

local function any_lit(run, list)
  for _, lamp in list do
    if lit(run, lamp) then return lamp end
  end
  return nil
end

-- The volts at which the last of the lamps goes dark, and that lamp.
local function dark_below(jig, way, list, low, high)
  local last = list[1]
  for _ = 1, 20 do
    local middle = (low + high) / 2
    local lamp = any_lit(put(jig, way, { charged = middle, seconds = 0 }), list)
    if lamp then high, last = middle, lamp else low = middle end
  end
  return high, last
end

-- What the lamp itself needs, by its own data.
local function needs(lamp)
  if lamp.kind == "led" then return lamp.forward * lamp.series end
  if lamp.kind == "neon-lamp" then return lamp.strike_max or lamp.strike end
  return lamp.volts * limit("filament-lamp")
end

local function told(found, jig, ways)
  local charge, held = ways[1].charge, ways[1].held
  local seeing, blind = {}, nil
  for _, way in ways do
    way.lamps = lamps(jig, way, way.first)
    if #way.lamps > 0 then table.insert(seeing, way) else blind = way end
  end
  -- A lamp may be there and need more than the whole charge.
  local dull
  if #seeing == 0 and charge.volts > limit("dark-above-60") then
    for _, way in ways do
      local high = limit("beyond") * charge.volts
      local list = lamps(jig, way, put(jig, way, { charged = high, seconds = 0 }))
      if #list > 0 and dull == nil then
        local volts, lamp = dark_below(jig, way, list, charge.volts, high)
        dull = { volts = volts, lamp = lamp }
      end
    end
  end
  if #seeing == 0 and dull == nil then
    keep(found, "no-indication", charge.volts, caution, {
      check = "no-indication",
      message = string.format("nothing on the probe lights on %s: nobody sees that there was charge, or that the probe touched it at all", charge.name),
      remedy = "put two LEDs, one each way round, with a resistor across the lowest part of the chain",
      nets = { charge.across[1], charge.across[2] }, condition = charge.name .. held,
    })
    return
  end
  local first = if dull then dull.lamp else seeing[1].lamps[1]
  if blind and not dull then
    keep(found, "one-polarity", 0, warning, {
      check = "one-polarity",
      message = string.format("%s lights for one polarity only: put on the other way round the probe stays dark on a charged capacitor", first.name),
      remedy = "add a second lamp the other way round beside it, or feed it from a bridge", parts = { first.name }, condition = "probe put on the other way round" .. held,
    })
  end
  -- Of the two ways round the one that goes dark sooner.
  local few, many = limit("dark-above-60"), limit("dark-too-early")
  local worst = dull
  for _, way in seeing do
    if charge.volts > few and not any_lit(put(jig, way, { charged = few, seconds = 0 }), way.lamps) then
      local volts, lamp = dark_below(jig, way, way.lamps, few, charge.volts)
      if worst == nil or volts > worst.volts then worst = { volts = volts, lamp = lamp } end
    end
  end
  local lamp = if worst then worst.lamp else first
  if lamp.kind == "filament-lamp" then
    keep(found, "filament-lamp", 0, notice, {
      check = "filament-lamp",
      message = string.format("%s is a filament lamp: it stays dark on little charge and on few volts, so dark is no proof", lamp.name),
      remedy = "put two LEDs, one each way round, with a resistor beside it, or measure each time",
      parts = { lamp.name }, condition = "little charge, or the end of a discharge",
    })
  end
  if worst == nil then return end
  -- Charges that never reach the limit cannot be mistaken.
  if math.min(worst.volts, charge.volts) > many then
    keep(found, "dark", worst.volts, warning, {
      check = "dark-too-early",
      message = string.format("%s is dark below %s: a dark lamp is taken for a discharged capacitor, and what is left can kill", lamp.name, format(worst.volts, "V")),
      remedy = if needs(lamp) > few then "use a lamp that lights on fewer volts, such as an LED each way round"
        else string.format("let the lamp see more of the chain: at least 1/%d of the volts between the tips", math.floor(few / needs(lamp))),
      parts = { lamp.name }, condition = "while it discharges" .. held, quantity = "volts at which the lamp goes dark", value = worst.volts,
    })
  else
    keep(found, "dark", worst.volts, notice, {
      check = "dark-above-60",
      message = string.format("%s goes dark at %s, a little above what may be touched: dark is no proof", lamp.name, format(worst.volts, "V")),
      remedy = "hold the probe on as long again after the lamp has gone dark, then measure",
      parts = { lamp.name }, condition = "while it discharges" .. held, quantity = "volts at which the lamp goes dark", value = worst.volts,
    })
  end
end

local function energy(found, jig, way)
  local charge, held, run = way.charge, way.held, way.run
  for _, part in jig:parts("resistor") do
    if part.power == nil then continue end
    local took = run.parts[part.name]
    local most, source = pulse_energy(part.power, part.resistance, took.energy, took.power_peak, run.seconds)
    -- Charts are trusted so far; what lies between the core tells.
    if took.energy > limit("pulse-energy") * most then
      keep(found, "pulse-energy" .. part.name, took.energy, warning, {
        check = "pulse-energy",
        remedy = string.format("use a wire-wound resistor of %s or more, or more of them in series", format(part.power * took.energy / most, "W")),
        parts = { part.name }, condition = charge.name .. held, quantity = "energy of one discharge", value = took.energy, unit = "J", limit = most, source = source,
      }, function(parts)
        return string.format("one discharge of %s puts %s into %s, rated %s: a resistor can crack, open, and leave the capacitor charged under a probe that looks whole",
          charge.name, format(took.energy, "J"), parts, format(part.power, "W"))
      end)
    end
    local mean = took.energy * jig.settings.per_minute / 60
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

-- Whether a filament carries most of the first current.
local function through_a_bulb(jig, run)
  for _, lamp in jig:parts("filament-lamp") do
    if run.parts[lamp.name].current_peak > run.current_peak / 2 then return true end
  end
  return false
end

local function bite(found, jig, way)
  local charge, amperes, most, unit, source = way.charge, way.first.current_peak, limit("spark")
  if amperes <= most then return end
  -- What the wires let through is no figure to print.
  local draws = if charge.volts / amperes < 1e-3 * charge.volts then "what the wires let through" else format(amperes, "A")
  keep(found, "spark", amperes, caution, {
    check = if through_a_bulb(jig, way.first) then "cold-lamp" else "spark",
    message = string.format("put on %s the probe draws %s at once: it spits at the tip, pits it, and strains the capacitor", charge.name, draws),
    remedy = string.format("raise the resistance of the probe to %s or more", format(charge.volts / most, "Ω")),
    nets = { charge.across[1] }, line = charge.line, condition = charge.name .. way.held, quantity = "first current", value = amperes, unit = unit, limit = most, source = source,
  })
end

-- A position, or a way round, at which nothing is discharged, though another does it.
local function dead(found, charge, held)
  keep(found, "dead-position", charge.volts, caution, {
    check = "dead-position",
    message = string.format("the probe discharges nothing of %s%s: it feels used and the capacitor is as it was", charge.name, held),
    remedy = "leave no switch that takes the probe off, and no diode in its chain: every position and either way round has to discharge",
    nets = { charge.across[1] }, line = charge.line, condition = charge.name .. held,
  })
end

-- One charge at every position of the switches, both ways round.
local function judged(found, jig, charge, list, worst)
  local seconds, ways, most = jig.settings.seconds, {}, 0
  for _, set in list do
    local held = if #set.words > 0 then ", " .. table.concat(set.words, ", ") else ""
    for _, turned in { false, true } do
      local way = { charge = charge, switches = set.switches, turned = turned, worst = worst, set = set, held = held }
      way.first = put(jig, way, { seconds = 0 })
      most = math.max(most, way.first.current_peak)
      table.insert(ways, way)
    end
  end
  local works, groups = {}, {}
  for _, way in ways do
    if way.first.current_peak < limit("dead-position") * most or most < limit("no-way") * charge.volts then
      if most >= limit("no-way") * charge.volts then dead(found, charge, way.held .. if way.turned then ", put on the other way round" else "") end
    else
      table.insert(works, way)
    end
    groups[way.set] = groups[way.set] or {}
    table.insert(groups[way.set], way)
  end
  for _, way in works do
    way.run = put(jig, way, { seconds = seconds })
    soon(found, jig, charge, way.held, way.run.left)
    energy(found, jig, way)
    bite(found, jig, way)
  end
  if #works == 0 then soon(found, jig, charge, "", put(jig, ways[1], { seconds = seconds }).left) end
  for _, set in list do
    local some = false
    for _, way in groups[set] do some = some or table.find(works, way) ~= nil end
    -- Where nothing is discharged at all, that is what is told.
    if some or #works == 0 then told(found, jig, groups[set]) end
  end
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
    -- Glow lamps at their worst: old, and in the dark.
    local worst, each = {}, math.floor(limit("ways") / #list)
    for _, lamp in jig:parts("neon-lamp") do worst[lamp.name] = { strike = lamp.strike_max or lamp.strike } end
    local ways = settings(jig, math.max(1, each))
    for k, charge in list do
      if k <= limit("ways") then judged(found, jig, charge, ways, worst) end
    end
    return together(found)
  end,
}
