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

-- Volts of every net with one volt between two nets: resistors as they are, what joins as good as joined, lamps dark.
local function divided(jig, from, to)
  local index, names, rows = {}, {}, {}
  local function at(net)
    if index[net] == nil then
      table.insert(names, net)
      index[net] = #names
    end
    return index[net]
  end
  at(from)
  at(to)
  local edges = {}
  for _, part in jig:parts("resistor") do
    table.insert(edges, { at(part.across[1]), at(part.across[2]), 1 / part.resistance })
  end
  local joined = 1e6
  for _, kind in { "wire", "fuse" } do
    for _, part in jig:parts(kind) do table.insert(edges, { at(part.across[1]), at(part.across[2]), joined }) end
  end
  for _, part in jig:parts("switch") do
    for _, pair in part.positions[1].joins do table.insert(edges, { at(pair[1]), at(pair[2]), joined }) end
  end
  local size = #names
  for k = 1, size do
    rows[k] = table.create(size + 1, 0)
    rows[k][k] = 1e-12
  end
  for _, e in edges do
    local a, b, g = e[1], e[2], e[3]
    rows[a][a] += g
    rows[b][b] += g
    rows[a][b] -= g
    rows[b][a] -= g
  end
  for k = 1, 2 do
    for c = 1, size + 1 do rows[k][c] = 0 end
    rows[k][k] = 1
  end
  rows[1][size + 1] = 1
  for k = 1, size do
    local best = k
    for r = k + 1, size do
      if math.abs(rows[r][k]) > math.abs(rows[best][k]) then best = r end
    end
    rows[k], rows[best] = rows[best], rows[k]
    for r = 1, size do
      local times = if r == k then 0 else rows[r][k] / rows[k][k]
      if times ~= 0 then
        for c = k, size + 1 do rows[r][c] -= times * rows[k][c] end
      end
    end
  end
  local volts = {}
  for k, net in names do volts[net] = rows[k][size + 1] / rows[k][k] end
  local siemens = 0
  for _, e in edges do
    local a, b = volts[names[e[1]]], volts[names[e[2]]]
    siemens += (a - b) ^ 2 * e[3]
  end
  return volts, siemens
end

local function soon(found, jig, charge)
  local seconds = jig.settings.seconds
  local most, unit = limit("too-slow")
  local left = jig:discharge(charge.across[1], charge.across[2], seconds)
  if left <= most then return end
  table.insert(found, warning{
    check = "too-slow",
    message = string.format("%s after the probe is put on, %s are left on what it discharges (%s)", format(seconds, "s"), format(left, unit), charge.name),
    remedy = "lower the total resistance of the probe, or write on it how long it has to be held and set [plugin.discharge-probe] seconds to that",
    nets = { charge.across[1], charge.across[2] }, line = charge.line, condition = charge.name,
    quantity = "volts left", value = left,
  })
end

-- Lamps that tell of charge, with the volts at which each goes dark and which way round it lights.
local function lamps(jig, volts)
  local list = {}
  for _, part in jig:parts("led") do
    local share = (volts[part.across[1]] or 0) - (volts[part.across[2]] or 0)
    table.insert(list, { part = part, share = share, dark = part.forward * part.series / math.abs(share), both = false })
  end
  for _, part in jig:parts("neon-lamp") do
    local share = (volts[part.across[1]] or 0) - (volts[part.across[2]] or 0)
    table.insert(list, { part = part, share = share, dark = part.strike / math.abs(share), both = true })
  end
  return list
end

local function told(found, jig, charge, volts)
  local list, bridged = lamps(jig, volts), #jig:parts("bridge") > 0
  if #list == 0 then
    table.insert(found, caution{
      check = "no-indication",
      message = "nothing on the probe shows that there was charge, or that the probe touched it at all",
      remedy = "put two LEDs, one each way round, with a resistor across the lowest part of the chain",
      nets = { charge.across[1], charge.across[2] }, condition = charge.name,
    })
    return
  end
  if bridged then return end
  local ahead, back, sees, worst = false, false, math.huge, nil
  for _, lamp in list do
    if math.abs(lamp.share) > 1e-9 then
      ahead = ahead or lamp.both or lamp.share > 0
      back = back or lamp.both or lamp.share < 0
    end
    if lamp.dark < sees then
      sees, worst = lamp.dark, lamp
    end
  end
  if worst == nil then worst = list[1] end
  if ahead ~= back then
    table.insert(found, caution{
      check = "one-polarity",
      message = string.format("%s lights for one polarity only: put on the other way round the probe stays dark on a charged capacitor", worst.part.name),
      remedy = "add a second LED the other way round beside it",
      parts = { worst.part.name }, condition = "probe put on the other way round",
    })
  end
  local few, many = limit("dark-above-60"), limit("dark-too-early")
  local text = if sees < 1e6 then format(sees, "V") else "any volts"
  if sees > many then
    table.insert(found, warning{
      check = "dark-too-early",
      message = string.format("%s is dark below %s: a dark lamp is taken for a discharged capacitor, and what is left can kill", worst.part.name, text),
      remedy = string.format("let the lamp see more of the chain: at least 1/%d of the volts between the tips", math.max(1, math.floor(few / (worst.part.forward or worst.part.strike)))),
      parts = { worst.part.name }, condition = "while it discharges", quantity = "volts at which the lamp goes dark", value = math.min(sees, 1e6),
    })
  elseif sees > few then
    table.insert(found, notice{
      check = "dark-above-60",
      message = string.format("%s goes dark at %s, a little above what may be touched: dark is no proof", worst.part.name, text),
      remedy = "hold the probe on as long again after the lamp has gone dark, then measure",
      parts = { worst.part.name }, condition = "while it discharges", quantity = "volts at which the lamp goes dark", value = sees,
    })
  end
end

local function energy(found, jig, charge, volts, siemens)
  local joules = charge.farads * charge.volts ^ 2 / 2
  local most, _, source = limit("pulse-energy")
  for _, part in jig:parts("resistor") do
    local share = ((volts[part.across[1]] or 0) - (volts[part.across[2]] or 0)) ^ 2 / part.resistance / siemens
    local gets = joules * share
    if part.power == nil then continue end
    if gets > most * part.power then
      table.insert(found, warning{
        check = "pulse-energy",
        message = string.format("one discharge of %s puts %s into %s, a resistor of %s: it can crack, open, and leave the capacitor charged under a probe that looks whole",
          charge.name, format(gets, "J"), part.name, format(part.power, "W")),
        remedy = string.format("use a wire-wound resistor of %s or more, or more of them in series", format(gets / most, "W")),
        parts = { part.name }, condition = charge.name, quantity = "energy of one discharge", value = gets, unit = "J", limit = most * part.power, source = source,
      })
    end
    local mean = gets * jig.settings.per_minute / 60
    if mean > part.power then
      table.insert(found, caution{
        check = "repeated",
        message = string.format("%g discharges of %s a minute heat %s with %s, and it is rated %s", jig.settings.per_minute, charge.name, part.name, format(mean, "W"), format(part.power, "W")),
        remedy = string.format("use a resistor of %s or more, or allow it %g discharges a minute", format(mean, "W"), math.floor(jig.settings.per_minute * part.power / mean)),
        parts = { part.name }, condition = charge.name, quantity = "mean power", value = mean, unit = "W", limit = part.power,
      })
    end
  end
end

local function bite(found, jig, charge, siemens)
  local amperes, most = charge.volts * siemens, limit("spark")
  if amperes <= most then return end
  table.insert(found, caution{
    check = "spark",
    message = string.format("put on %s the probe draws %s at once: it spits at the tip, pits it, and strains the capacitor", charge.name, format(amperes, "A")),
    remedy = string.format("raise the resistance of the probe to %s or more", format(charge.volts / most, "Ω")),
    nets = { charge.across[1] }, line = charge.line, condition = charge.name, quantity = "first current", value = amperes,
  })
end

return {
  check = function(jig)
    local found = {}
    local worst
    for _, charge in charges(jig) do
      if worst == nil or charge.farads * charge.volts ^ 2 > worst.farads * worst.volts ^ 2 then worst = charge end
    end
    if worst == nil then
      return { caution{
        check = "nothing-to-discharge",
        message = "the file does not say what the probe is for, so neither its speed nor its resistors can be judged",
        remedy = "add [[outlet]] with across = [tip, clip] and loads like \"100 uF charged 400 V\"", condition = "as written",
      } }
    end
    local volts, siemens = divided(jig, worst.across[1], worst.across[2])
    soon(found, jig, worst)
    told(found, jig, worst, volts)
    energy(found, jig, worst, volts, siemens)
    bite(found, jig, worst, siemens)
    return found
  end,
}
