-- A soft-start box: a resistor or an inrush limiter in the way to the outlet, and the contact that bridges it.

local JOINING = { "wire", "fuse", "thermal-fuse", "switch" }

-- Parts in the way from the mains to an outlet: without them, and with every contact open that lies across them, it has none.
local function limiters(jig, outlet)
  local list = {}
  for _, kind in { "resistor", "thermistor" } do
    for _, part in jig:parts(kind) do
      local near, mains = jig:reach{ from = outlet.across, through = JOINING }, jig:reach{ from = { "L", "N" }, through = JOINING }
      local a, b = part.across[1], part.across[2]
      -- One end is joined to the outlet and the other to the mains, or to the next limiter in the row.
      local row = jig:reach{ from = outlet.across, through = { "wire", "fuse", "thermal-fuse", "switch", "resistor", "thermistor" }, except = part.name }
      if (near[a] or near[b] or row[a] or row[b]) and a ~= b and not (jig:reach{ from = outlet.across[1], through = JOINING }[a] and jig:reach{ from = outlet.across[2], through = JOINING }[b])
        and not (jig:reach{ from = outlet.across[1], through = JOINING }[b] and jig:reach{ from = outlet.across[2], through = JOINING }[a])
        and (mains[a] or mains[b] or row[a] and row[b]) then
        table.insert(list, part)
      end
    end
  end
  return list
end

-- Switches with a contact between the two ends of a part, itself or through wires and fuses.
local function bridges(jig, part)
  local list = {}
  local one = jig:reach{ from = part.across[1], through = { "wire", "fuse", "thermal-fuse" } }
  local two = jig:reach{ from = part.across[2], through = { "wire", "fuse", "thermal-fuse" } }
  for _, switch in jig:parts("switch") do
    for _, position in switch.positions do
      for _, pair in position.joins do
        if (one[pair[1]] and two[pair[2]] or one[pair[2]] and two[pair[1]]) and not table.find(list, switch) then
          table.insert(list, switch)
        end
      end
    end
  end
  return list
end

-- The position of a switch in which it joins the fewest: as it is before its coil pulls it.
local function open_position(switch)
  local name, least
  for _, position in switch.positions do
    if least == nil or #position.joins < least then name, least = position.name, #position.joins end
  end
  return name
end

local function start_current(found, jig, outlet, list)
  local switches, names = {}, {}
  for _, part in list do
    table.insert(names, part.name)
    for _, switch in bridges(jig, part) do switches[switch.name] = open_position(switch) end
  end
  local worst, at
  for _, load in outlet.values do
    if load.kind == "open" or load.kind == "charged" then continue end
    local s = jig:solve{ supply = "high", cold = true, switches = switches, loads = { [outlet.name] = load.label } }
    local crest = s and s.outlets[outlet.name].current_peak
    if crest and (worst == nil or crest > worst) then worst, at = crest, load.label end
  end
  if worst and worst > limit("start-current") then
    table.insert(found, caution{
      check = "start-current",
      message = string.format("with %s on %s the first half-wave still reaches %s: the breaker in the wall trips, or the contact that made it welds", at, outlet.name, format(worst, "A")),
      remedy = "take more ohms, or two inrush limiters in a row",
      parts = names, condition = "switched on at the crest of high mains, cold, " .. outlet.name .. " " .. at, quantity = "current at the crest", value = worst,
    })
  end
end

local function guarded(jig, part)
  for _, thermal in jig:parts("thermal-fuse") do
    if thermal.on == part.name then return true end
  end
  return false
end

-- The fuse before everything: the largest in the way of the mains.
local function fuse_of(jig)
  local rating, name
  local near = jig:reach{ from = { "L", "N" }, through = { "wire", "switch" } }
  for _, fuse in jig:parts("fuse") do
    if (near[fuse.across[1]] or near[fuse.across[2]]) and (rating == nil or fuse.current < rating) then rating, name = fuse.current, fuse.name end
  end
  return rating, name
end

return {
  check = function(jig)
    local found, seen = {}, {}
    for _, outlet in jig:outlets() do
      local list = limiters(jig, outlet)
      if #list == 0 then
        table.insert(found, caution{
          check = "no-limiter",
          message = string.format("nothing stands in the way to %s that limits the rush: a contact across it from the start, or no resistor or inrush limiter at all", outlet.name),
          remedy = "put a resistor with a relay across it, or an inrush limiter, into the wire to the outlet",
          nets = table.clone(outlet.across), line = outlet.line, condition = "as written",
        })
        continue
      end
      start_current(found, jig, outlet, list)
      for _, part in list do
        if seen[part.name] then continue end
        seen[part.name] = true
        local across = bridges(jig, part)
        if part.kind == "resistor" and #across == 0 then
          table.insert(found, warning{
            check = "not-bypassed",
            message = string.format("%s stays in the way of the load for good: it takes volts from it and roasts", part.name),
            remedy = "let a relay close across it within a second or two, or take an inrush limiter",
            parts = { part.name }, condition = "in use",
          })
        end
        if part.kind == "resistor" and #across > 0 and not guarded(jig, part) then
          table.insert(found, caution{
            check = "no-thermal-fuse",
            message = string.format("where %s does not close, %s carries the load until it burns, and no fuse sees more than the load", across[1].name, part.name),
            remedy = string.format("put a thermal fuse on the body of %s, in its own branch: on = \"%s\"", part.name, part.name),
            parts = { part.name, across[1].name }, condition = across[1].name .. " stays open",
          })
        end
        if part.kind == "thermistor" and #across == 0 and not jig.settings.waits then
          table.insert(found, notice{
            check = "hot-restart",
            message = string.format("%s is hot while it works: switched off and on again at once, it limits nothing", part.name),
            remedy = "write \"wait a minute before switching on again\" on the box and set [plugin.soft-start-box] waits = true, or let a relay bridge it so that it cools",
            parts = { part.name }, condition = "off and on again within a minute",
          })
        end
        local fuse, name = fuse_of(jig)
        for _, switch in across do
          if fuse and switch.current and fuse / switch.current > limit("bypass-rating") then
            table.insert(found, caution{
              check = "bypass-rating",
              message = string.format("%s carries the load once it has closed; it is made for %s, and %s lets %s through for good", switch.name, format(switch.current, "A"), name, format(fuse, "A")),
              remedy = string.format("take a contact for %s or more, or a smaller fuse", format(fuse, "A")),
              parts = { switch.name, name }, condition = "the load on", quantity = "fuse over contact rating", value = fuse / switch.current,
            })
          end
        end
      end
    end
    if #jig:outlets() == 0 then
      table.insert(found, caution{
        check = "no-limiter", message = "the file states no outlet, so nothing of the rush was judged",
        remedy = "write the [[outlet]] with what will be plugged in", condition = "as written",
      })
    end
    return found
  end,
}
