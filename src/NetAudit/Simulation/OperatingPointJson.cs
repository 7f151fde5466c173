using System.Text.Json;
using NetAudit.Circuits;
using NetAudit.Common;

namespace NetAudit.Simulation;

/// <summary>The operating point as JSON, a contract: <c>converged, nodes, branches, strategy, iterations, residual, notes</c>.</summary>
public static class OperatingPointJson
{
    /// <summary>
    /// The operating point as a JSON text: volts by node and amperes by element, at full precision. Without an operating point
    /// <c>nodes</c> and <c>branches</c> are null and <c>problem</c> says why, as in <see cref="DiagnosticJson"/>.
    /// </summary>
    public static string ToText(Circuit circuit, OperatingPoint point) =>
        JsonDocumentText.OfObject(json =>
        {
            json.WriteBoolean("converged", point.Converged);
            WriteNodes(json, circuit, point);
            WriteBranches(json, circuit, point);
            json.WriteString("strategy", point.Strategy);
            json.WriteNumber("iterations", point.Iterations);
            json.WriteFinite("residual", point.Residual);
            json.WriteStrings("notes", [.. point.Notes, .. Words(point.Problem)]);
            if (point.Problem is { } problem)
            {
                json.WritePropertyName("problem");
                DiagnosticJson.Write(json, problem);
            }
        });

    private static IEnumerable<string> Words(Diagnostic? problem) =>
        problem is null ? [] : [problem.Message];

    private static void WriteNodes(Utf8JsonWriter json, Circuit circuit, OperatingPoint point)
    {
        if (!point.Converged)
        {
            json.WriteNull("nodes");
            return;
        }
        json.WriteStartObject("nodes");
        foreach (var node in circuit.Nodes.Where(node => node.Index != 0))
        {
            json.WriteFinite(node.Name, point.NodeVolts[node.Index]);
        }
        json.WriteEndObject();
    }

    private static void WriteBranches(Utf8JsonWriter json, Circuit circuit, OperatingPoint point)
    {
        if (!point.Converged)
        {
            json.WriteNull("branches");
            return;
        }
        json.WriteStartObject("branches");
        foreach (var (element, amps) in point.BranchAmps)
        {
            json.WriteFinite(circuit.Elements[element].Name, amps);
        }
        json.WriteEndObject();
    }
}
