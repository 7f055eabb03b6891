-- A test outlet, a box with switch, fuse or meter shunt between the wall and the tool under test: off is off at every outlet, the earth
-- goes through, nothing in the box is weaker than its fuse.

-- What joins a terminal to the mains as good as a wire: meter shunts, chokes and inrush limiters, too.
local THROUGH = { "wire", "fuse", "thermal-fuse", "switch", "resistor", "inductor", "winding", "thermistor" }

-- Every way the switches can stand; past what can be tried, the rest stands on.
local function settings(jig)
  local list = { {} }
  for _, switch in jig:parts("switch") do
    local longer = {}
    for _, set in list do
      for _, position in switch.positions do
        local one = table.clone(set)
        one[switch.name] = position.name
        table.insert(longer, one)
      end
    end
    if #longer <= 64 then list = longer end
  end
  return list
end

-- Whether both terminals hang on pins of the plug, on different ones.
local function fed(jig, outlet, set)
  local at = {}
  for k, net in outlet.across do at[k] = jig:reach{ from = net, through = THROUGH, switches = set } end
  return at[1].L and at[2].N or at[1].N and at[2].L
end

-- One pole that stays is the core's business; here nothing at all is switched.
local function switched(found, jig, outlet)
  local list = settings(jig)
  for _, set in list do
    if not fed(jig, outlet, set) then return end
  end
  local any = #list > 1
  local fields = {
    check = "not-switched",
    message = if any
      then string.format("no position of any switch takes %s off the mains: hands change leads there trusting the switch", outlet.name)
      else string.format("nothing in the box takes %s off the mains: leads are changed on it with the plug in", outlet.name),
    remedy = "lead both wires of the outlet through a switch of two poles",
    nets = { outlet.across[1] }, line = outlet.line, condition = if any then "all switches off" else "as wired",
  }
  table.insert(found, if any then warning(fields) else caution(fields))
end

local function earthed(found, jig, outlet)
  local earth, mine = jig:reach{ from = "PE", through = { "wire" } }, nil
  local feeds = jig:reach{ from = outlet.across, through = { "wire" } }
  for _, socket in jig:parts("socket") do
    for _, net in socket.nets do
      if feeds[net] then mine = mine or socket end
    end
  end
  if mine == nil then
    table.insert(found, notice{
      check = "socket-not-stated",
      message = string.format("the file does not state the socket of %s, so nothing is known of its earth contact", outlet.name),
      remedy = string.format("add a part of kind \"socket\" with nets = [\"%s\", \"%s\", \"PE\"]", outlet.across[1], outlet.across[2]),
      line = outlet.line, condition = "as written",
    })
    return
  end
  for _, net in mine.nets do
    if earth[net] then return end
  end
  -- Into these no plug with an earth contact goes.
  if mine.type == "A" or mine.type == "C" then return end
  table.insert(found, warning{
    check = "socket-without-earth",
    message = string.format("no contact of %s is wired straight to PE: the metal case of a tool of class I put on it for test is on nothing, or on what may open", mine.name),
    remedy = "wire its earth contact to PE with a green-and-yellow wire as thick as the live one",
    parts = { mine.name }, line = mine.line, condition = "a tool of class I with a fault to its case",
  })
end

-- The load of an outlet that draws most, a short where no other is stated.
local function heaviest(jig, outlet)
  local best, most
  for _, label in outlet.loads do
    local watts
    if string.match(label, "^[%d%./]+ ?[mk]?W$") then watts = quantity(label) end
    if string.match(label, "^[%d%./]+ ?[mk]?Ω$") then watts = jig.supply.nominal ^ 2 / quantity(label) end
    if watts and (most == nil or watts > most) then best, most = label, watts end
  end
  return best or (if table.find(outlet.loads, "short") then "short" else nil)
end

-- Fuses, switches and resistors that carry what the outlet draws.
local function carrying(jig, outlet, label)
  local state = jig:solve{ supply = "nominal", loads = { [outlet.name] = label } }
  local idle = if table.find(outlet.loads, "open") then jig:solve{ supply = "nominal", loads = { [outlet.name] = "open" } } else nil
  local function more(name)
    local row = state.parts[name] or state.parts[name .. ".1"]
    if row == nil then return 0 end
    local free = if idle then (idle.parts[name] or idle.parts[name .. ".1"]).current_rms else 0
    return row.current_rms - free
  end
  local most, list = 0, {}
  for _, fuse in jig:parts("fuse") do most = math.max(most, more(fuse.name)) end
  for _, kind in { "fuse", "switch", "resistor" } do
    for _, part in jig:parts(kind) do
      if most > 0 and more(part.name) > 0.9 * most then table.insert(list, part) end
    end
  end
  return list
end

local function weakest(found, jig, outlet)
  local label = heaviest(jig, outlet)
  if label == nil then return end
  local fuse, chain = nil, carrying(jig, outlet, label)
  for _, part in chain do
    if part.kind == "fuse" and (fuse == nil or part.current < fuse.current) then fuse = part end
  end
  if fuse == nil then return end
  local times, _, source = limit("shunt-overload")
  for _, part in chain do
    if part.kind == "resistor" and part.power then
      local watts = (times * fuse.current) ^ 2 * part.resistance
      if watts > part.power then
        table.insert(found, warning{
          check = "shunt-overload",
          message = string.format("%s bears %s, yet %s lets %.2g times its %s through for an hour and more, which heats it with %s: it burns or opens first",
            part.name, format(part.power, "W"), fuse.name, times, format(fuse.current, "A"), format(watts, "W")),
          remedy = string.format("use a shunt of %s or more, or a fuse of at most %s", format(watts, "W"), format(math.sqrt(part.power / part.resistance) / times, "A")),
          parts = { part.name, fuse.name }, condition = outlet.name .. " overloaded just below what blows the fuse",
          quantity = "power", value = watts, unit = "W", limit = part.power, source = source,
        })
      end
    end
  end
  local most, _, why = limit("weak-switch")
  for _, part in jig:parts("switch") do
    local inside = table.find(chain, part) ~= nil
    if inside and part.current and fuse.current / part.current > most then
      table.insert(found, caution{
        check = "weak-switch",
        message = string.format("%s is rated %s behind %s of %s: whatever is put on the outlet, the fuse lets the contact run hot and weld, and then off is no longer off",
          part.name, format(part.current, "A"), fuse.name, format(fuse.current, "A")),
        remedy = string.format("use a switch of %s or more, or a fuse of at most %s", format(fuse.current, "A"), format(part.current, "A")),
        parts = { part.name, fuse.name }, condition = outlet.name .. " loaded up to the fuse",
        quantity = "fuse over switch", value = fuse.current / part.current, source = why,
      })
    end
  end
end

return {
  check = function(jig)
    local found = {}
    if #jig:outlets() == 0 then
      return { caution{
        check = "no-outlet", message = "the file states no outlet, so nothing of the box was judged as a test outlet",
        remedy = "add [[outlet]] with across = the two contacts and loads = [\"open\", \"short\", …]", condition = "as written",
      } }
    end
    for _, outlet in jig:outlets() do
      switched(found, jig, outlet)
      earthed(found, jig, outlet)
      weakest(found, jig, outlet)
    end
    return found
  end,
}
