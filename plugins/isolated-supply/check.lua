-- An isolated supply: one load at a time, nothing of it tied to earth or mains, little leakage, fuses in both sides of the secondary.

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

local JOINING = { "wire", "fuse", "thermal-fuse", "switch" }

local function one_load(found, jig)
  local outlets, most = jig:outlets(), limit("one-load")
  if #outlets <= most then return end
  table.insert(found, warning{
    check = "one-load",
    message = string.format("%d outlets hang on one isolated supply: with a fault in one set and another in the next, full volts stand between their two cases, and nothing trips", #outlets),
    remedy = "leave one outlet, or give each a transformer of its own",
    line = outlets[2].line, condition = "two sets under test, one fault in each", quantity = "outlets", value = #outlets,
  })
end

local function isolated(found, jig, outlet)
  for _, net in outlet.across do
    local group = reach(jig, net, JOINING)
    local to = if group.PE then "earth" elseif group.L or group.N then "the mains" else nil
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

local function tied(found, jig, secondary, across)
  local inside = {}
  for _, net in across do
    for name in reach(jig, net, JOINING) do inside[name] = true end
  end
  if inside.PE or inside.L or inside.N then return end
  local outside = {}
  for _, net in jig:nets() do
    if net.mains and not inside[net.name] then outside[net.name] = "the mains" end
  end
  for name in reach(jig, "PE", JOINING) do outside[name] = "earth" end
  for _, kind in { "resistor", "capacitor", "varistor", "neon-lamp", "inductor", "suppressor" } do
    for _, part in jig:parts(kind) do
      local a, b = part.across[1], part.across[2]
      local to = if inside[a] then outside[b] elseif inside[b] then outside[a] else nil
      if to then
        table.insert(found, caution{
          check = "tied-down",
          message = string.format("%s ties %s to %s: the supply no longer floats, and %s is all that keeps it apart", part.name, secondary.name, to, part.name),
          remedy = "take it out; a filter belongs between the two wires of one side",
          parts = { part.name }, condition = "as wired",
        })
      end
    end
  end
end

local function leak(found, jig, part, secondary)
  if part.capacitance == nil then
    table.insert(found, notice{
      check = "capacitance-unknown",
      message = part.name .. " does not state the capacitance between its windings, so what leaks to a hand is not known",
      remedy = "measure it: join each winding in itself, meter between the two; write capacitance = \"200 pF\"",
      parts = { part.name }, condition = "as written",
    })
    return
  end
  local volts = math.max(jig.supply.high, secondary.volts * jig.supply.high / part.primary.volts)
  local amperes, most = 2 * math.pi * jig.supply.frequency * part.capacitance * volts, limit("leak")
  if amperes > most then
    table.insert(found, caution{
      check = "leak",
      message = string.format("%s between the windings of %s let %s through to an earthed hand: it tingles, and meters on the set show volts that are not there",
        format(part.capacitance, "F"), part.name, format(amperes, "A")),
      remedy = string.format("use a transformer with a screen or two chambers, below %s", format(part.capacitance * most / amperes, "F")),
      parts = { part.name }, condition = "mains high, one side of the secondary on earth", quantity = "leakage r.m.s.", value = amperes,
    })
  end
end

local function fused(found, jig, outlet, part, secondary)
  for _, pole in secondary.across do
    local bare = reach(jig, pole, { "wire", "switch" })
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
    one_load(found, jig)
    for _, outlet in jig:outlets() do isolated(found, jig, outlet) end
    for _, part in jig:parts("transformer") do
      for _, secondary in part.secondaries do
        volts(found, part, secondary)
        tied(found, jig, secondary, secondary.across)
        for _, outlet in jig:outlets() do fused(found, jig, outlet, part, secondary) end
      end
      leak(found, jig, part, part.secondaries[1])
    end
    return found
  end,
}
