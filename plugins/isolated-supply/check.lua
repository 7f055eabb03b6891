-- An isolated supply: one load at a time, nothing of it tied to earth or mains, little leakage, fuses in both sides of the secondary.

local JOINING = { "wire", "fuse", "thermal-fuse", "switch" }
-- What leaves a short-circuit current as large as it is; rectifiers among them.
local OPEN = { "wire", "thermal-fuse", "switch", "resistor", "inductor", "winding", "thermistor", "diode", "bridge" }

-- Where a walk over the isolated side ends: on earth and on the mains.
local function ends(jig)
  local list = {}
  for net in jig:reach{ from = { "PE", "L", "N" }, through = JOINING } do list[net] = true end
  return list
end

-- What both terminals of an outlet reach, through whatever joins two nets; not over earth or mains, nor through what is plugged in.
local function around(jig, outlet)
  local plugged = {}
  for _, other in jig:outlets() do table.insert(plugged, other.name) end
  return jig:reach{ from = outlet.across, through = "anything", stop_at = ends(jig), except = plugged }
end

-- What contacts, fuses and wires join to them.
local function wired(jig, outlet)
  return jig:reach{ from = outlet.across, through = JOINING }
end

local function touches(nets, across)
  return nets[across[1]] or nets[across[2]]
end

-- What a group of nets is tied to, if to anything.
local function tied_to(group)
  return if group.PE then "earth" elseif group.L or group.N then "the mains" else nil
end

local function one_load(found, jig)
  local most, all = limit("one-load"), jig:outlets()
  for k, first in all do
    local nets, more = around(jig, first), { first }
    if tied_to(wired(jig, first)) then continue end
    for n, other in all do
      if n ~= k and touches(nets, other.across) then
        -- Told once, at the first of them.
        if n < k then more = {} break end
        table.insert(more, other)
      end
    end
    if #more > most then
      table.insert(found, warning{
        check = "one-load",
        message = string.format("%d outlets hang on one isolated supply: with a fault in one set and another in the next, full volts stand between their two cases, and nothing trips", #more),
        remedy = "leave one outlet, or give each a transformer of its own",
        nets = table.move(more[2].across, 1, 2, 3, table.clone(first.across)),
        line = more[2].line, condition = "two sets under test, one fault in each", quantity = "outlets", value = #more,
      })
    end
  end
end

-- An earth contact beside isolated terminals puts the case of the set on earth, which the first fault then ties the supply to.
local function earth_contact(found, jig, outlet)
  local nets, earth = jig:reach{ from = outlet.across, through = { "wire" } }, jig:reach{ from = "PE", through = JOINING }
  for _, socket in jig:parts("socket") do
    local mine, earthed = false, false
    for _, net in socket.nets do
      mine, earthed = mine or nets[net] == true, earthed or earth[net] == true
    end
    -- Where the file says which contact it is, that one counts.
    if socket.earth then earthed = earth[socket.earth] == true end
    if mine and earthed then
      table.insert(found, caution{
        check = "earth-contact",
        message = string.format("%s brings earth to the set on %s: the first fault to its case ties the supply to earth unnoticed, and the next touch is one of the mains", socket.name, outlet.name),
        remedy = "leave the earth contact of the socket free, and write so beside it",
        parts = { socket.name }, line = socket.line, condition = "a set of class I with a fault to its case",
      })
    end
  end
end

local function isolated(found, jig, outlet)
  for _, net in outlet.across do
    local to = tied_to(jig:reach{ from = net, through = JOINING })
    if to then
      table.insert(found, danger{
        check = "not-isolated",
        message = string.format("%s is tied to %s through %s: whoever works on the set trusts that one hand on it and one on earth is harmless, and here it is not", outlet.name, to, net),
        remedy = "cut the link: nothing of the secondary is joined to earth or to the mains, not even the earth contact of the outlet",
        nets = { net }, line = outlet.line, condition = "as wired",
      })
      return
    end
  end
end

-- Whether a walk goes from one of these nets to one of those through this part and no other: not across the insulation of a
-- transformer, nor through the contacts of a socket.
local function links(jig, part, seen, stop)
  if part.kind == "switch" then return false end
  local others = {}
  for _, other in jig:parts() do
    if other ~= part then table.insert(others, other.name) end
  end
  for _, outlet in jig:outlets() do table.insert(others, outlet.name) end
  for _, net in part.nets do
    if not seen[net] or stop[net] then continue end
    for to in jig:reach{ from = net, through = "anything", except = others } do
      if stop[to] then return true end
    end
  end
  return false
end

-- Whole chains count: a lamp to earth behind its resistor ties as well. What conducts to the mains the core tells.
local function tied(found, jig, outlet)
  if tied_to(wired(jig, outlet)) then return end
  local earth, mains = jig:reach{ from = "PE", through = JOINING }, jig:reach{ from = { "L", "N" }, through = JOINING }
  local stop = ends(jig)
  local seen = around(jig, outlet)
  for _, part in jig:parts() do
    local mine, to = false, nil
    for _, net in part.nets do
      if stop[net] then to = net else mine = mine or seen[net] == true end
    end
    if not mine or to == nil or not links(jig, part, seen, stop) then continue end
    local what = if earth[to] then "earth" elseif mains[to] and (part.kind == "capacitor" or part.kind == "varistor") then "the mains" else nil
    if what then
      table.insert(found, caution{
        check = "tied-down",
        message = string.format("%s ties %s to %s: the supply no longer floats, and %s is all that keeps it apart", part.name, outlet.name, what, part.name),
        remedy = "take it out; a filter belongs between the two wires of one side",
        parts = { part.name }, condition = "as wired",
      })
    end
  end
end

-- Capacitance from a winding to the mains: that of its own transformer, and of those before it in a row.
local function behind(jig, part, depth)
  local mains = {}
  for _, net in jig:nets() do mains[net.name] = net.mains end
  if mains[part.primary.across[1]] or depth == 0 then return part.capacitance, part end
  local nets = wired(jig, part.primary)
  for _, other in jig:parts("transformer") do
    for _, secondary in other.secondaries do
      if other ~= part and touches(nets, secondary.across) then
        local before = behind(jig, other, depth - 1)
        -- Two in a row let less through than either.
        if part.capacitance and before then return part.capacitance * before / (part.capacitance + before), part end
        return part.capacitance or before, part
      end
    end
  end
  return part.capacitance, part
end

local function leak(found, jig, part, secondary)
  local farads = behind(jig, part, #jig:parts("transformer"))
  if farads == nil then
    table.insert(found, notice{
      check = "capacitance-unknown",
      message = part.name .. " does not state the capacitance between its windings, so what leaks to a hand is not known",
      remedy = "measure it: join each winding in itself, meter between the two; write capacitance = \"200 pF\"",
      parts = { part.name }, condition = "as written",
    })
    return
  end
  local volts = math.max(jig.supply.high, secondary.volts * jig.supply.high / jig.supply.nominal)
  local amperes, most = 2 * math.pi * jig.supply.frequency * farads * volts, limit("leak")
  if amperes > most then
    table.insert(found, caution{
      check = "leak",
      message = string.format("%s between the windings of %s let %s through to an earthed hand: it tingles, and meters on the set show volts that are not there",
        format(farads, "F"), part.name, format(amperes, "A")),
      remedy = string.format("use a transformer with a screen or two chambers, below %s", format(farads * most / amperes, "F")),
      parts = { part.name }, condition = "mains high, one side of the secondary on earth", quantity = "leakage r.m.s.", value = amperes,
    })
  end
end

local function fused(found, jig, outlet, part, secondary)
  for _, pole in secondary.across do
    local bare = jig:reach{ from = pole, through = OPEN }
    for _, terminal in outlet.across do
      if bare[terminal] then
        table.insert(found, caution{
          check = "unfused-side",
          message = string.format("no fuse stands between %s of %s and %s: once that side of the set has found earth, or a second set shares it, only the fuse of the other side is left", pole, part.name, terminal),
          remedy = "put a fuse into each wire from the secondary, both of the same size",
          parts = { part.name }, nets = { terminal }, line = outlet.line, condition = "as wired",
        })
      end
    end
  end
end

local function volts(found, part, secondary)
  local most = limit("secondary-volts")
  if secondary.volts <= most then return end
  table.insert(found, warning{
    check = "secondary-volts",
    message = string.format("%s gives %s: above %s no supply counts as separated", part.name, format(secondary.volts, "V"), format(most, "V")),
    remedy = "use a transformer with a lower secondary",
    parts = { part.name }, condition = "mains nominal", quantity = "volts of the secondary", value = secondary.volts,
  })
end

return {
  check = function(jig)
    local found = {}
    if #jig:outlets() == 0 then
      return { caution{
        check = "no-outlet", message = "the file states no outlet, so nothing was judged as an isolated supply",
        remedy = "add [[outlet]] with across = the two contacts and loads = [\"open\", \"short\", …]", condition = "as written",
      } }
    end
    one_load(found, jig)
    local leaks = {}
    for _, outlet in jig:outlets() do
      isolated(found, jig, outlet)
      if tied_to(wired(jig, outlet)) then continue end
      earth_contact(found, jig, outlet)
      tied(found, jig, outlet)
      local nets = around(jig, outlet)
      for _, part in jig:parts("transformer") do
        for _, secondary in part.secondaries do
          -- What a transformer feeds inside of the box is not for the hand.
          if not touches(nets, secondary.across) then continue end
          volts(found, part, secondary)
          fused(found, jig, outlet, part, secondary)
          if not leaks[part.name] then leak(found, jig, part, secondary) end
          leaks[part.name] = true
        end
      end
    end
    return found
  end,
}
