using System.Collections.Immutable;
using NetAudit.Netlists;

namespace NetAudit.Circuits.Elaboration;

/// <summary>Reads V and I cards: DC value, AC value, function of time.</summary>
internal sealed class SourceReader(ElaborationState state)
{
    private static readonly string[] Functions = ["sin", "pulse", "exp", "pwl", "sffm", "am"];

    /// <summary>V name n+ n- [[DC] value] [AC [magnitude [phase]]] [FUNCTION(…)], in any order.</summary>
    public void Read(ElementCard card)
    {
        if (!card.Has(2, "two nodes and a value"))
        {
            return;
        }
        var ends = card.TwoTerminals();
        var stimulus = ReadStimulus(card);
        card.CheckRest(
            int.MaxValue,
            "dc",
            "ac",
            "m",
            "r",
            "rser",
            "cpar",
            "portnum",
            "z0",
            "pwr",
            "freq",
            "phase"
        );
        if (stimulus is null)
        {
            return;
        }
        state.Add(
            char.ToUpperInvariant(card.Card.Name[0]) == 'V'
                ? new VoltageSource(card.FullName, [.. ends], stimulus, card.Card.Where)
                {
                    Device = card.Scope.Device?.Name,
                }
                : new CurrentSource(card.FullName, [.. ends], stimulus, card.Card.Where)
                {
                    Device = card.Scope.Device?.Name,
                }
        );
    }

    private static Stimulus? ReadStimulus(ElementCard card)
    {
        double? dc = null;
        var (magnitude, phase) = (0.0, 0.0);
        string? function = null;
        ImmutableArray<double> arguments = [];
        var failed = false;
        if (card.Assigned("dc") is { } given)
        {
            dc = card.Number(given);
            failed |= dc is null;
        }
        if (card.Assigned("ac") is { } givenMagnitude)
        {
            magnitude = Take(card.Number(givenMagnitude), ref failed);
        }
        var fields = card.Positional;
        for (var i = 2; i < fields.Length; i++)
        {
            var field = fields[i];
            if (field.Is("dc") && field.Kind == FieldKind.Word)
            {
                if (i + 1 < fields.Length && !IsKeyword(fields[i + 1]))
                {
                    dc = Take(card.Number(fields[++i]), ref failed);
                }
                dc ??= 0;
            }
            else if (field.Is("ac") && field.Kind == FieldKind.Word)
            {
                magnitude = 1;
                if (i + 1 < fields.Length && !IsKeyword(fields[i + 1]))
                {
                    magnitude = Take(card.Number(fields[++i]), ref failed);
                }
                if (i + 1 < fields.Length && !IsKeyword(fields[i + 1]))
                {
                    phase = Take(card.Number(fields[++i]), ref failed);
                }
            }
            else if (FunctionOf(field) is { } name)
            {
                function = name;
                var list = ArgumentFields(fields, ref i);
                arguments = [.. list.Select(argument => Take(card.Number(argument), ref failed))];
                failed |= !CheckArguments(card, field, name, arguments);
            }
            else if (dc is null && !IsKeyword(field))
            {
                dc = Take(card.Number(field), ref failed);
            }
            else
            {
                card.Warn(
                    field,
                    $"{card.Card.Slice(field.Start, field.End)} means nothing here and is passed over"
                );
            }
        }
        return failed
            ? null
            : new Stimulus(
                dc ?? (function is null ? 0 : Waveform.AtTimeZero(function, arguments)),
                magnitude,
                phase,
                function,
                arguments
            );
    }

    private static double Take(double? value, ref bool failed)
    {
        failed |= value is null;
        return value ?? 0;
    }

    private static string? FunctionOf(Field field) =>
        field.Kind is FieldKind.Word or FieldKind.Group
            ? Array.Find(Functions, name => field.Is(name))
            : null;

    private static bool IsKeyword(Field field) =>
        field.Kind is FieldKind.Word or FieldKind.Group
        && (field.Is("dc") || field.Is("ac") || FunctionOf(field) is not null);

    /// <summary>Arguments in parentheses, with or without a blank before them, or bare up to the next keyword.</summary>
    private static List<Field> ArgumentFields(Field[] fields, ref int index)
    {
        var field = fields[index];
        if (field.Kind == FieldKind.Group)
        {
            return [.. Flat(field.Inner)];
        }
        var arguments = new List<Field>();
        while (index + 1 < fields.Length && !IsKeyword(fields[index + 1]))
        {
            index++;
            if (fields[index] is { Kind: FieldKind.Group, Word: "" } group)
            {
                arguments.AddRange(Flat(group.Inner));
                break;
            }
            arguments.Add(fields[index]);
        }
        return arguments;
    }

    /// <summary>Pairs may be in parentheses of their own: <c>PWL((0 0) (1m 5))</c>.</summary>
    private static IEnumerable<Field> Flat(Field[] fields) =>
        fields.SelectMany(field =>
            field is { Kind: FieldKind.Group, Word: "" } ? Flat(field.Inner) : [field]
        );

    private static bool CheckArguments(
        ElementCard card,
        Field field,
        string function,
        ImmutableArray<double> arguments
    )
    {
        if (arguments.Length >= 2 && (function != "pwl" || arguments.Length % 2 == 0))
        {
            return true;
        }
        card.Complain(
            field,
            function == "pwl"
                ? "pwl needs pairs of time and value"
                : $"{function} needs at least two arguments"
        );
        return false;
    }
}
