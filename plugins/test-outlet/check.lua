-- A test outlet, a box with switch, fuse or meter shunt between the wall and the tool under test: off is off at every outlet, the earth
-- goes through, nothing in the box is weaker than its fuse.

-- Nets that the parts of these kinds join to a net, with every switch on or, where it has positions, at any of them.
local function reach(jig, net, kinds)
  local seen, queue = { [net] = true }, { net }
  local function step(a, b, here)
    local other = if a == here then b elseif b == here then a else nil
    if other and not seen[other] then
      seen[other] = true
      table.insert(queue, other)
    end
  end
  while #queue > 0 do
    local here = table.remove(queue)
    for _, kind in kinds do
      for _, part in jig:parts(kind) do
        if kind == "switch" then
          for _, position in part.positions do
            for _, pair in position.joins do step(pair[1], pair[2], here) end
          end
        else
          step(part.across[1], part.across[2], here)
        end
      end
    end
  end
  return seen
end

local function switched(found, jig, outlet)
  local off = {}
  for _, switch in jig:parts("switch") do
    for _, position in switch.positions do
      if #position.joins == 0 then off[switch.name] = position.name end
    end
  end
  local live = {}
  for _, net in outlet.across do
    for _, pin in { "L", "N" } do
      if jig:joined(net, pin, off) then table.insert(live, net) end
    end
  end
  if #live == 0 then return end
  local both = #live >= 2
  local fields = {
    check = "not-switched",
    message = string.format("with every switch off %s of %s still hangs on the mains: hands change leads there trusting the switch", if both then "each terminal" else live[1], outlet.name),
    remedy = "lead both wires of the outlet through a switch of two poles",
    nets = { live[1] }, line = outlet.line, condition = "all switches off",
  }
  table.insert(found, if both then warning(fields) else caution(fields))
end

local function earthed(found, jig, outlet)
  local earth, mine = reach(jig, "PE", { "wire" }), nil
  local feeds = {}
  for _, net in outlet.across do
    for name in reach(jig, net, { "wire" }) do feeds[name] = true end
  end
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
  table.insert(found, warning{
    check = "socket-without-earth",
    message = string.format("%s has no earth contact wired: a tool of class I put on it for test has a metal case on nothing", mine.name),
    remedy = "wire its earth contact to PE with a green-and-yellow wire as thick as the live one",
    parts = { mine.name }, line = mine.line, condition = "a tool of class I with a fault to its case",
  })
end

-- The load of an outlet that draws most, by its label in watts.
local function heaviest(outlet)
  local best, most
  for _, label in outlet.loads do
    local watts = if string.match(label, "^[%d%.]+ ?k?W$") then quantity(label) else nil
    if watts and (most == nil or watts > most) then best, most = label, watts end
  end
  return best
end

-- Fuses, switches and resistors that carry what the outlet draws.
local function carrying(jig, outlet, label)
  local state = jig:solve{ supply = "nominal", loads = { [outlet.name] = label } }
  local idle = jig:solve{ supply = "nominal", loads = { [outlet.name] = "open" } }
  local most, list = 0, {}
  for _, fuse in jig:parts("fuse") do most = math.max(most, state.parts[fuse.name].current_rms - idle.parts[fuse.name].current_rms) end
  local function carries(name)
    local row, free = state.parts[name], idle.parts[name]
    return row ~= nil and most > 0 and row.current_rms - free.current_rms > 0.9 * most
  end
  for _, kind in { "fuse", "switch", "resistor" } do
    for _, part in jig:parts(kind) do
      if carries(part.name) or carries(part.name .. ".1") then table.insert(list, part) end
    end
  end
  return list
end

local function weakest(found, jig, outlet)
  local label = heaviest(outlet)
  if label == nil or table.find(outlet.loads, "open") == nil then return end
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
    for _, outlet in jig:outlets() do
      switched(found, jig, outlet)
      earthed(found, jig, outlet)
      weakest(found, jig, outlet)
    end
    return found
  end,
}
