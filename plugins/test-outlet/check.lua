-- A test outlet, a box with switch, fuse or meter shunt between the wall and the tool under test: off is off at every outlet, the earth
-- goes through, nothing in the box is weaker than its fuse.

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
    if #longer <= 32 then list = longer end
  end
  return list
end

-- The load of an outlet that draws most of the mains, a short where no other is stated.
local function heaviest(jig, outlet)
  local best, most, short
  for _, load in outlet.values do
    local watts = load.power or (if load.resistance then jig.supply.nominal ^ 2 / load.resistance else nil)
    if watts and (most == nil or watts > most) then best, most = load.label, watts end
    if load.kind == "short" then short = load.label end
  end
  return best or short
end

-- Whether something that is put on the outlet gets what it asks for. With nothing stated that draws, whether both terminals hang on
-- pins of the plug, on different ones.
local function fed(jig, outlet, set, label)
  if label then
    local state = jig:solve{ supply = "nominal", loads = { [outlet.name] = label }, switches = set }
    local row = state.outlets[outlet.name]
    return row.voltage_rms > limit("off-volts") * jig.supply.nominal or row.current_rms > limit("off-current")
  end
  local at = {}
  for k, net in outlet.across do at[k] = jig:reach{ from = net, through = "anything", except = outlet.name, switches = set } end
  return at[1].L and at[2].N or at[1].N and at[2].L
end

-- One pole that stays is the core's business; here nothing at all is switched.
local function switched(found, jig, outlet)
  local list, label = settings(jig), heaviest(jig, outlet)
  for _, set in list do
    if not fed(jig, outlet, set, label) then return end
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
  -- Where the file says which contact it is, that one counts.
  for _, net in if mine.earth then { mine.earth } else mine.nets do
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

-- The most that any contact, coil or branch of a part carries more than with the outlet open.
local function more(state, idle, part)
  local amperes = 0
  for _, item in part.items do
    local row = state.parts[item]
    local free = if idle and row then idle.parts[item].current_rms else 0
    if row then amperes = math.max(amperes, row.current_rms - free) end
  end
  return amperes
end

-- What carries the current of the outlet, with the share of it that each part gets: of two contacts side by side each half.
local function carrying(jig, outlet, label)
  local state = jig:solve{ supply = "nominal", loads = { [outlet.name] = label } }
  local open
  for _, load in outlet.values do
    if load.kind == "open" then open = load.label end
  end
  local idle = open and jig:solve{ supply = "nominal", loads = { [outlet.name] = open } }
  local all, list = state.outlets[outlet.name].current_rms, {}
  if all <= limit("off-current") then return list end
  for _, part in jig:parts() do
    local share = math.min(1, more(state, idle, part) / all)
    if share > limit("share") and part.kind ~= "transformer" and part.kind ~= "psu" then table.insert(list, { part = part, share = share }) end
  end
  return list
end

-- What guards the outlet: the smallest fuse its whole current flows through, the fuse of the plug among them, or the breaker in the wall
-- where there is none.
local function guard(jig, chain)
  local best
  for _, one in chain do
    local current = one.part.kind == "fuse" and one.part.current / one.share
    if current and (best == nil or current < best.current) then best = { name = one.part.name, current = current, part = one.part.name } end
  end
  local plug = jig.supply.plug_fuse
  if plug and (best == nil or plug < best.current) then best = { name = "the fuse in the plug", current = plug } end
  if best == nil and jig.supply.breaker then best = { name = "the breaker in the wall", current = jig.supply.breaker } end
  return best
end

local function weakest(found, jig, outlet)
  local label = heaviest(jig, outlet)
  if label == nil then return end
  local chain = carrying(jig, outlet, label)
  local fuse = guard(jig, chain)
  if fuse == nil then return end
  local times, _, source = limit("shunt-overload")
  local most, _, why = limit("weak-switch")
  local carries = "whatever is put on the outlet, "
  for _, one in chain do
    local part = one.part
    local amperes = times * fuse.current * one.share
    if part.kind == "resistor" and part.power and amperes ^ 2 * part.resistance > part.power then
      local watts = amperes ^ 2 * part.resistance
      table.insert(found, warning{
        check = "shunt-overload",
        message = string.format("%s bears %s, yet %s lets %.2g times its %s through for half an hour and more, which heats it with %s: it burns or opens first",
          part.name, format(part.power, "W"), fuse.name, times, format(fuse.current, "A"), format(watts, "W")),
        remedy = string.format("use a shunt of %s or more, or a fuse of at most %s", format(watts, "W"), format(math.sqrt(part.power / part.resistance) / times / one.share, "A")),
        parts = { part.name }, condition = outlet.name .. " overloaded just below what blows the fuse",
        quantity = "power", value = watts, unit = "W", limit = part.power, source = source,
      })
    elseif part.kind ~= "fuse" and part.kind ~= "resistor" and part.current and fuse.current * one.share / part.current > most then
      local share = fuse.current * one.share / part.current
      table.insert(found, caution{
        check = "weak-switch",
        message = if part.kind == "switch"
          then string.format("%s is rated %s behind %s of %s: %sthe fuse lets the contact run hot and weld, and then off is no longer off", part.name, format(part.current, "A"), fuse.name, format(fuse.current, "A"), carries)
          else string.format("%s is rated %s behind %s of %s: %sit overheats before the fuse opens", part.name, format(part.current, "A"), fuse.name, format(fuse.current, "A"), carries),
        remedy = string.format("use one of %s or more, or a fuse of at most %s", format(fuse.current * one.share, "A"), format(part.current / one.share, "A")),
        parts = { part.name }, condition = outlet.name .. " loaded up to the fuse",
        quantity = "fuse over rating", value = share, source = why,
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
